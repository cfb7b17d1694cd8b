"""Compute: from gathered cells to accounts, through `diversion`."""

from dataclasses import dataclass
from datetime import date
from typing import Any

from diversion import account, account_draws
from diversion.account import DiversionAccount
from diversion.draws import DrawnFigures
from diversion.inputs import AccountInputs, EarlierTonnes, Quarter
from diversion.persistence import Following, Persistence, persistence
from outreach.filings import following, gathering, method, periods, site_checks, weighed
from outreach.filings.earlier import EarlierFilings, computed
from outreach.filings.gathering import Scope
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
    so_far: periods.YearToDate, *, scope: Scope, cut_off: date, choices: dict[str, Any]
) -> FilingInputs:
    """Gather everything that a filing of the last of these quarters needs, as the records stand."""
    settings, factors = method.settings_from(choices), method.factor_set_from(choices)
    cells = {one: gathering.gather_quarter(one, scope=scope, cut_off=cut_off) for one in so_far.quarters}
    shared: dict[str, Any] = {
        "jurisdictions": tuple(method.landfill_of(one) for one in scope.jurisdictions),
        "factors": factors,
        "quits": gathering.gather_quits(scope=scope, cut_off=cut_off),
        "settings": settings,
        **weighed.calibrations(homes := weighed.gather_weighed(cut_off=cut_off)),
    }
    before = _before(so_far.quarters[0], scope=scope, cut_off=cut_off, shared=shared)
    within = tuple(one for past in so_far.quarters[:-1] for one in computed(cells[past], shared))
    return FilingInputs(
        period=AccountInputs(quarters=(cells[so_far.quarters[-1]],), earlier=before + within, **shared),
        year_to_date=AccountInputs(quarters=tuple(cells.values()), earlier=before, **shared),
        following=following.gather_following(
            scope=scope, after=periods.first_day(periods.shifted(so_far.quarters[-1], 1)), cut_off=cut_off
        ),
        weighed=homes,
        site_checks=site_checks.gather_site_checks(so_far.quarters[-1], scope=scope, cut_off=cut_off),
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


def fiscal_start(scope: Scope) -> int:
    """The month in which the scope's fiscal year starts; all jurisdictions agree, or it is January."""
    starts = {one.fiscal_year_starts_month for one in scope.jurisdictions}
    return starts.pop() if len(starts) == 1 else 1


def _before(
    first: Quarter, *, scope: Scope, cut_off: date, shared: dict[str, Any]
) -> tuple[EarlierTonnes, ...]:
    """Landfill-bound tonnes of each quarter before: as filed where a filing covers it, else computed now."""
    began = gathering.first_quarter(scope=scope)
    if began is None:
        return ()
    filings = EarlierFilings(scope)
    earlier: list[EarlierTonnes] = []
    for index in range(began.index, first.index):
        quarter = periods.shifted(first, index - first.index)
        filed, uncovered = filings.tonnes(quarter)
        earlier += filed
        if uncovered:
            cells = gathering.gather_quarter(quarter, scope=scope, cut_off=cut_off)
            earlier += computed(cells, shared, only=uncovered)
    return tuple(earlier)
