"""A district's figures for some quarters, computed from today's records; nothing of it is kept or filed.

The same estimation and the same merging of small counts as in a filing: a district that a filing would merge
has no figures here either, and where one of the quarters asked for is withheld, so is their sum.
"""

from dataclasses import dataclass
from datetime import date
from typing import Any

from django.conf import settings

from diversion import account
from diversion.account import DiversionAccount
from diversion.figures import Measure, Part, Stream
from diversion.inputs import AccountInputs, Quarter, QuarterCells
from diversion.intervals import log_limits
from outreach.filings import gathering, method, periods, suppressing, weighed
from outreach.filings.gathering import Scope
from outreach.places.models import District

MOST_QUARTERS = 12


class BadPeriod(Exception):
    """The quarters asked for are in the wrong order, or too many."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimated:
    """Tonnes kept out of landfill: as filings take the silent, if they are alike (90 % limits), if they do nothing."""

    gross: float
    headline: float
    alike: float
    lower: float | None
    upper: float | None
    nothing: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Spell:
    """A quarter, or all of them together: counts and, where they may be shown, estimates.

    `households` is None where the count is too small to show; `answers` is None where any district's is. `reason`
    says why there is no estimate.
    """

    name: str
    households: int | None
    answers: int | None
    estimated: Estimated | None
    reason: str = ""

    @property
    def is_withheld(self) -> bool:
        return self.households is None


@dataclass(frozen=True, slots=True, kw_only=True)
class DistrictFigures:
    """The answer: each quarter, and all together as of the last one's households."""

    district: District
    first: Quarter
    last: Quarter
    quarters: tuple[Spell, ...]
    together: Spell
    factor_set: str
    odds: float


def ask(*, district: District, first: Quarter, last: Quarter, on: date) -> DistrictFigures:
    """Compute a district's figures from the records as they stand on that day.

    Raises
    ------
    BadPeriod
        In words for the person who asked.
    """
    asked = _quarters(first, last)
    scope = Scope(jurisdiction=district.jurisdiction)
    shared = _shared(scope, on=on)
    cells = [gathering.gather_quarter(one, scope=scope, cut_off=on) for one in asked]
    quarters = tuple(_spell(district, str(one.quarter), [one], shared) for one in cells)
    name = str(first) if first == last else f"{first} to {last}"
    together = quarters[0] if len(cells) == 1 else _spell(district, name, cells, shared)
    if any(one.is_withheld for one in quarters):
        together = Spell(name=name, households=None, answers=None, estimated=None)
    return DistrictFigures(
        district=district,
        first=first,
        last=last,
        quarters=quarters,
        together=together,
        factor_set=shared["factors"].name,
        odds=shared["settings"].odds,
    )


def _quarters(first: Quarter, last: Quarter) -> list[Quarter]:
    if last.index < first.index:
        raise BadPeriod(f"{last} is before {first}. Swap the two?")
    if last.index - first.index >= MOST_QUARTERS:
        raise BadPeriod(f"Ask about at most {MOST_QUARTERS} quarters at once.")
    return [periods.shifted(first, by) for by in range(last.index - first.index + 1)]


def _shared(scope: Scope, *, on: date) -> dict[str, Any]:
    """What every quarter is computed with: usual settings, newest factors, today's quitting and weigh-ins."""
    return {
        "jurisdictions": tuple(method.landfill_of(one) for one in scope.jurisdictions),
        "factors": method.factor_set_from({}),
        "settings": method.settings_from({}),
        "quits": gathering.gather_quits(scope=scope, cut_off=on),
        "earlier": (),
        **weighed.calibrations(weighed.gather_weighed(cut_off=on)),
    }


def _spell(district: District, name: str, cells: list[QuarterCells], shared: dict[str, Any]) -> Spell:
    done = account.compute(AccountInputs(quarters=tuple(cells), **shared))
    parts = done.parts_by("district")
    code = f"{district.jurisdiction.name}/{district.name}"
    if all(part.code != code for part in parts):
        return Spell(
            name=name,
            households=0,
            answers=0,
            estimated=None,
            reason="No household of the district had a bin in use.",
        )
    shown = suppressing.published(parts, smallest=settings.SMALLEST_COUNT)
    part = next((one for one in shown if one.code == code), None)
    if part is None:
        return Spell(name=name, households=None, answers=None, estimated=None)
    return Spell(
        name=name,
        households=part.households,
        answers=None if part.answers == suppressing.NOT_SHOWN else part.answers,
        estimated=_estimated(done, part) if done.estimated else None,
        reason=done.no_estimate_reason,
    )


def _estimated(done: DiversionAccount, part: Part) -> Estimated:
    whole = done.figure(Measure.LANDFILL_BOUND).alike
    bound = part.figure(Measure.LANDFILL_BOUND, Stream.BOTH)
    degrees = whole.degrees_of_freedom
    # Where every answer is alike no spread can be measured, so there are no limits.
    limits = (
        log_limits(bound.alike, bound.standard_error, degrees)
        if degrees is not None and bound.standard_error > 0
        else None
    )
    lower, upper = limits or (None, None)
    return Estimated(
        gross=part.figure(Measure.GROSS, Stream.BOTH).headline,
        headline=bound.headline,
        alike=bound.alike,
        lower=lower,
        upper=upper,
        nothing=bound.nothing,
    )
