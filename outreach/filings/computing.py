"""Compute: from gathered cells to accounts, through `diversion`."""

from dataclasses import dataclass
from datetime import date
from typing import Any

from diversion import account, account_draws
from diversion.account import DiversionAccount
from diversion.draws import DrawnFigures
from diversion.inputs import AccountInputs
from diversion.persistence import Following, Persistence, persistence
from outreach.filings import following, gathering, method, period_codes, site_checks, weighed
from outreach.filings.earlier import TonnesBefore
from outreach.filings.gathering import Scope
from outreach.filings.periods import DAY, Period, YearToDate
from outreach.filings.weighed import Weighed
from outreach.followup.site_check_figures import Comparison

# Any fixed number will do; the filing prints it with the draws.
DRAW_SEED = 20_250_401


@dataclass(frozen=True, slots=True, kw_only=True)
class FilingInputs:
    """What a filing is computed from: the quarter itself and its year to date."""

    period: AccountInputs
    year_to_date: AccountInputs
    # None, or nothing, in filings of versions that did not keep it.
    following: Following | None = None
    weighed: Weighed = ()
    site_checks: Comparison | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Accounts:
    """The two accounts of a filing, which stand on their own and are not added, and how long households go on."""

    period: DiversionAccount
    year_to_date: DiversionAccount
    drawn: DrawnFigures | None
    persistence: Persistence | None = None
    site_checks: dict[str, Any] | None = None


def gather_inputs(
    period: Period, so_far: YearToDate, *, scope: Scope, cut_off: date, choices: dict[str, Any]
) -> FilingInputs:
    """Gather everything that a filing of the period needs, as the records stand."""
    settings, factors = method.settings_from(choices), method.factor_set_from(choices)
    shared: dict[str, Any] = {
        "jurisdictions": tuple(method.landfill_of(one) for one in scope.jurisdictions),
        "factors": factors,
        "quits": gathering.gather_quits(scope=scope, cut_off=cut_off),
        "settings": settings,
        **weighed.calibrations(homes := weighed.gather_weighed(cut_off=cut_off)),
    }
    before = TonnesBefore(scope=scope, cut_off=cut_off, shared=shared)
    before_year = before.until(so_far.first_day)
    before_period = (
        before_year + before.computed_between(so_far.first_day, period.first_day - DAY)
        if period.first_day >= so_far.first_day
        else before.until(period.first_day)
    )
    return FilingInputs(
        period=AccountInputs(quarters=before.cells(period.slices), earlier=before_period, **shared),
        year_to_date=AccountInputs(quarters=before.cells(so_far.slices), earlier=before_year, **shared),
        following=following.gather_following(scope=scope, after=period.after, cut_off=cut_off),
        weighed=homes,
        site_checks=site_checks.gather_site_checks(period.after, scope=scope, cut_off=cut_off),
    )


def compute(inputs: FilingInputs) -> Accounts:
    period = account.compute(inputs.period)
    return Accounts(
        period=period,
        year_to_date=account.compute(inputs.year_to_date),
        drawn=account_draws.draw_account(inputs.period, seed=DRAW_SEED) if period.estimated else None,
        persistence=_persistence(inputs),
        site_checks=site_checks.figures_of(inputs.site_checks) if inputs.site_checks else None,
    )


def _persistence(inputs: FilingInputs) -> Persistence | None:
    if inputs.following is None:
        return None
    return persistence(inputs.period.quits, inputs.following, version=inputs.period.settings.version)


def fiscal_start(scope: Scope) -> int | None:
    """The month in which the scope's fiscal year starts; None where its jurisdictions disagree."""
    starts = {one.fiscal_year_starts_month for one in scope.jurisdictions}
    return starts.pop() if len(starts) == 1 else None


def read_period(code: str, *, scope: Scope) -> Period:
    """The period of a code, fiscal ones by the fiscal year of the scope.

    Raises
    ------
    NotAPeriod
    """
    return period_codes.read(code, starts_month=fiscal_start(scope))
