"""Compute: from gathered cells to accounts, through `diversion`."""

from dataclasses import dataclass
from datetime import date
from typing import Any

from diversion import account, account_draws
from diversion.account import DiversionAccount
from diversion.draws import DrawnFigures
from diversion.inputs import AccountInputs, EarlierTonnes, Quarter, QuarterCells
from diversion.materials import Material
from outreach.filings import gathering, method, periods
from outreach.filings.gathering import Scope
from outreach.filings.models import Filing

# Any fixed number will do; the filing prints it with the draws.
DRAW_SEED = 20_250_401


@dataclass(frozen=True, slots=True, kw_only=True)
class FilingInputs:
    """What a filing is computed from: the quarter itself and its year to date."""

    period: AccountInputs
    year_to_date: AccountInputs


@dataclass(frozen=True, slots=True, kw_only=True)
class Accounts:
    """The two accounts of a filing; each stands on its own and they are not added."""

    period: DiversionAccount
    year_to_date: DiversionAccount
    drawn: DrawnFigures | None


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
    }
    before = _earlier(so_far.quarters[0], scope=scope, cut_off=cut_off, shared=shared)
    within = tuple(one for past in so_far.quarters[:-1] for one in _computed(cells[past], shared))
    return FilingInputs(
        period=AccountInputs(quarters=(cells[so_far.quarters[-1]],), earlier=before + within, **shared),
        year_to_date=AccountInputs(quarters=tuple(cells.values()), earlier=before, **shared),
    )


def compute(inputs: FilingInputs) -> Accounts:
    period = account.compute(inputs.period)
    return Accounts(
        period=period,
        year_to_date=account.compute(inputs.year_to_date),
        drawn=account_draws.draw_account(inputs.period, seed=DRAW_SEED) if period.estimated else None,
    )


def fiscal_start(scope: Scope) -> int:
    """The month in which the scope's fiscal year starts; all jurisdictions agree, or it is January."""
    starts = {one.fiscal_year_starts_month for one in scope.jurisdictions}
    return starts.pop() if len(starts) == 1 else 1


def _earlier(
    before: Quarter, *, scope: Scope, cut_off: date, shared: dict[str, Any]
) -> tuple[EarlierTonnes, ...]:
    """Landfill-bound tonnes of each quarter before: as filed where one was filed, else computed now."""
    first = gathering.first_quarter(scope=scope)
    if first is None:
        return ()
    filed = {
        one.quarter: one
        for one in Filing.objects.covering_scope(scope.jurisdiction).standing().order_by("submitted_at")
    }
    earlier: list[EarlierTonnes] = []
    for index in range(first.index, before.index):
        quarter = periods.shifted(before, index - before.index)
        if str(quarter) in filed:
            earlier += _tonnes(filed[str(quarter)].report["account"]["period"]["landfill_bound"])
        else:
            cells = gathering.gather_quarter(quarter, scope=scope, cut_off=cut_off)
            earlier += _computed(cells, shared)
    return tuple(earlier)


def _computed(cells: QuarterCells, shared: dict[str, Any]) -> list[EarlierTonnes]:
    if not cells.exposure:
        return []
    done = account.compute(AccountInputs(quarters=(cells,), **shared))
    return _tonnes(done.to_dict()["landfill_bound"])


def _tonnes(landfill_bound: list[dict[str, Any]]) -> list[EarlierTonnes]:
    return [
        EarlierTonnes(
            quarter=periods.read_quarter(one["quarter"]),
            jurisdiction=one["jurisdiction"],
            material=Material(one["material"]),
            landfill_bound_tonnes=one["tonnes"],
        )
        for one in landfill_bound
    ]
