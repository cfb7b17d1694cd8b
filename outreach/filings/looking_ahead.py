"""The fiscal year if so many more workshops are held: what the records say about it, and the forecast as a fan.

For planning; no figure of a filing comes from here.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.db.models import Count

from diversion import account, account_draws
from diversion.account import DiversionAccount
from diversion.conversions import KG_PER_TONNE
from diversion.figures import Measure, Stream
from diversion.forecast import FanPoint, ForecastBasis, PlannedWorkshop, forecast
from diversion.inputs import AccountInputs, Quarter
from diversion.intervals import multiplier
from diversion.retention import quitting_rate
from outreach.bins.models import Handout
from outreach.filings import computing, following, gathering, method, periods, weighed
from outreach.filings.gathering import Scope
from outreach.workshops.models import Workshop

MONTHS_A_YEAR, MONTHS_PER_QUARTER = 12, 3
MOST_WORKSHOPS, MOST_BINS = 60, 2_000
SEED = 20_250_401
# Where fewer workshops than this are on record, their uptake is assumed: ours, no source.
FEWEST_WORKSHOPS = 3
ASSUMED_UPTAKE, ASSUMED_UPTAKE_SD = 0.8, 0.15


class NothingToGoOn(Exception):
    """The quarters that are over have no estimate, so that there is nothing to look ahead from."""


@dataclass(frozen=True, kw_only=True)
class Uptake:
    """What share of the bins brought went home at past workshops, and its spread from one to the next."""

    mean: float
    sd: float
    workshops: int

    @property
    def is_assumed(self) -> bool:
        return self.workshops < FEWEST_WORKSHOPS


@dataclass(frozen=True, kw_only=True)
class YearAhead:
    """A fiscal year: what it came to so far, and the fan of what it may come to.

    Parameters
    ----------
    last_quarter : str
        The last full one, from which the level is taken.
    starts_on : date
        First day that is forecast.
    is_fiscal : bool
        False where the fiscal year starts inside a calendar quarter, and the calendar year is taken.
    so_far_tonnes : float
        Gross, of the quarters of the year that are over.
    left_out : tuple of str
        Quarters of the year that are over but have no estimate; nothing stands for them.
    kept_out_share : float
        Landfill-bound over gross in the last full quarter.
    fan : tuple of FanPoint
        Gross tonnes since the start of the year, by the end of each month to come.
    basis : ForecastBasis
    uptake : Uptake
    bins_out : int
        Handed out since `starts_on`, and counted as such.
    """

    last_quarter: str
    starts_on: date
    is_fiscal: bool
    so_far_tonnes: float
    left_out: tuple[str, ...]
    kept_out_share: float
    fan: tuple[FanPoint, ...]
    basis: ForecastBasis
    uptake: Uptake
    bins_out: int


def look_ahead(*, scope: Scope, workshops: int, bins: int, on: date) -> YearAhead:
    """Forecast the rest of the fiscal year with so many workshops more, spread evenly, of so many bins each.

    Where a fiscal year has just ended, the next one is forecast whole.

    Raises
    ------
    NothingToGoOn
    """
    last = periods.last_full_quarter(on)
    year = periods.quarters_to_date(last, starts_month=computing.fiscal_start(scope) or 1)
    left = MONTHS_A_YEAR - MONTHS_PER_QUARTER * len(year.quarters)
    period, done = _last_quarter(last, scope=scope, on=on)
    starts_on = periods.first_day(periods.shifted(last, 1))
    out = _bins_out(scope, starts_on, on)
    so_far, left_out = _so_far(year, scope=scope, on=on) if left else (0.0, ())
    uptake = _uptake(scope)
    in_use = following.gather_following(scope=scope, after=starts_on, cut_off=on).in_use
    basis = _basis(period, done, uptake, sum(households for _, households in in_use))
    return YearAhead(
        last_quarter=str(last),
        starts_on=starts_on,
        is_fiscal=year.is_fiscal,
        so_far_tonnes=so_far,
        left_out=left_out,
        kept_out_share=_kept_out_share(done),
        fan=forecast(
            basis,
            [*_planned(workshops, bins, months=left or MONTHS_A_YEAR, now=_month(starts_on, on)), *out],
            months=left or MONTHS_A_YEAR,
            seed=SEED,
        ),
        basis=basis,
        uptake=uptake,
        bins_out=sum(one.bins for one in out),
    )


def _shared(scope: Scope, on: date) -> dict[str, Any]:
    return {
        "jurisdictions": tuple(method.landfill_of(one) for one in scope.jurisdictions),
        "factors": method.factor_set_from({}),
        "quits": gathering.gather_quits(scope=scope, cut_off=on),
        **weighed.calibrations(weighed.gather_weighed(cut_off=on)),
    }


def _last_quarter(last: Quarter, *, scope: Scope, on: date) -> tuple[AccountInputs, DiversionAccount]:
    cells = gathering.gather_quarter(last, scope=scope, cut_off=on)
    inputs = AccountInputs(quarters=(cells,), **_shared(scope, on))
    done = account.compute(inputs)
    if not done.estimated or not done.figure(Measure.GROSS).headline.value > 0:
        raise NothingToGoOn(done.no_estimate_reason or "Every answer in force says 'stopped'.")
    return inputs, done


def _so_far(year: periods.QuartersToDate, *, scope: Scope, on: date) -> tuple[float, tuple[str, ...]]:
    """Gross of the quarters that are over, and those among them that have no estimate though bins were in use."""
    tonnes, left_out = 0.0, []
    for quarter in year.quarters:
        cells = gathering.gather_quarter(quarter, scope=scope, cut_off=on)
        done = account.compute(AccountInputs(quarters=(cells,), **_shared(scope, on)))
        if done.estimated:
            tonnes += done.figure(Measure.GROSS).headline.value
        elif cells.exposure:
            left_out.append(str(quarter))
    return tonnes, tuple(left_out)


def _basis(period: AccountInputs, done: DiversionAccount, uptake: Uptake, households: int) -> ForecastBasis:
    quitting = quitting_rate(period.quits)
    per_week, season = _level(period, done)
    return ForecastBasis(
        households_now=households,
        kg_per_household_week=per_week,
        relative_error=_relative_error(period),
        uptake=uptake.mean,
        uptake_sd=uptake.sd,
        quitting_rate=quitting.per_month,
        quitting_rate_error=quitting.standard_error,
        season=season,
    )


def _relative_error(period: AccountInputs) -> float:
    """Answers and factors together, on the log scale."""
    drawn = account_draws.draw_account(period, seed=SEED).figure(Measure.GROSS)
    return math.log(drawn.upper / drawn.lower) / (2 * multiplier(math.inf))


def _level(period: AccountInputs, done: DiversionAccount) -> tuple[float, tuple[float, ...]]:
    """Kilograms per household-week in the mean month of the year, and each of the next twelve relative to it."""
    food, yard = (done.figure(Measure.GROSS, stream).headline.value for stream in (Stream.FOOD, Stream.YARD))
    index = period.factors.yard_index_by_month
    mean = sum(index) / MONTHS_A_YEAR
    quarter = period.quarters[-1].quarter
    first = MONTHS_PER_QUARTER * (quarter.quarter - 1)
    of_quarter = sum(index[first : first + MONTHS_PER_QUARTER]) / MONTHS_PER_QUARTER
    yard_mean = yard * mean / of_quarter
    whole = food + yard_mean
    weeks = done.counts[-1].household_weeks
    after = first + MONTHS_PER_QUARTER
    season = tuple(
        (food + yard_mean * index[(after + month) % MONTHS_A_YEAR] / mean) / whole
        for month in range(MONTHS_A_YEAR)
    )
    return whole * KG_PER_TONNE / weeks, season


def _kept_out_share(done: DiversionAccount) -> float:
    return done.figure(Measure.LANDFILL_BOUND).headline.value / done.figure(Measure.GROSS).headline.value


def _uptake(scope: Scope) -> Uptake:
    """Of the workshops that took place and had bins planned; more than were planned counts as all of them."""
    held = Workshop.objects.took_place().filter(bins_planned__gt=0)
    if scope.jurisdiction is not None:
        held = held.of_jurisdiction(scope.jurisdiction)
    planned = dict(held.values_list("pk", "bins_planned"))
    handed = Handout.objects.standing().order_by().values_list("workshop").annotate(bins=Count("pk"))
    out = dict(handed.filter(workshop__in=held.values("pk")))
    shares = [min(out.get(pk, 0) / bins, 1) for pk, bins in planned.items()]
    if len(shares) < FEWEST_WORKSHOPS:
        return Uptake(mean=ASSUMED_UPTAKE, sd=ASSUMED_UPTAKE_SD, workshops=len(shares))
    mean = sum(shares) / len(shares)
    spread = sum((share - mean) ** 2 for share in shares) / (len(shares) - 1)
    return Uptake(mean=mean, sd=math.sqrt(spread), workshops=len(shares))


def _bins_out(scope: Scope, starts_on: date, on: date) -> list[PlannedWorkshop]:
    """Households with their first bin since the quarter ended, by month."""
    handouts = Handout.objects.standing().handed_between(starts_on, on)
    handouts = handouts.filter(counted_under__jurisdiction__in=[one.pk for one in scope.jurisdictions])
    before = Handout.objects.standing().filter(handed_on__lt=starts_on)
    new = handouts.exclude(counted_under__in=before.values("counted_under"))
    by_month: dict[int, set[int]] = {}
    for household, handed_on in new.values_list("counted_under", "handed_on"):
        by_month.setdefault(_month(starts_on, handed_on), set()).add(household)
    return [
        PlannedWorkshop(month=month, bins=len(homes), are_out=True)
        for month, homes in sorted(by_month.items())
    ]


def _month(starts_on: date, day: date) -> int:
    return (day.year - starts_on.year) * MONTHS_A_YEAR + day.month - starts_on.month


def _planned(workshops: int, bins: int, *, months: int, now: int) -> Iterator[PlannedWorkshop]:
    """So many workshops, spread evenly over the months that are left."""
    left: Sequence[int] = range(now, months)
    for number in range(workshops):
        yield PlannedWorkshop(month=left[number * len(left) // workshops], bins=bins)
