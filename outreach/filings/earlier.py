"""Tonnes of the days before a filing: as filed where a filing covers the jurisdiction, else computed now.

A filing covers the slices of its period, so a year covers its four quarters. Each day is taken once: where a
quarter and its year are both filed, the later filing speaks for it. A filing of all jurisdictions covers each that
it names; a jurisdiction's own filing goes before it. What no filing covers is computed from the records as they
stand.
"""

from collections.abc import Iterable, Iterator
from datetime import date
from typing import Any, TypeAlias

from diversion import account
from diversion.inputs import AccountInputs, EarlierTonnes, QuarterCells
from diversion.materials import Material
from outreach.filings import gathering, periods
from outreach.filings.gathering import Scope
from outreach.filings.models import Filing
from outreach.filings.periods import DAY, Slice
from outreach.places.models import Jurisdiction

Tonnes: TypeAlias = tuple[EarlierTonnes, ...]
Uncovered: TypeAlias = dict[Slice, frozenset[str]]


class EarlierFilings:
    """The standing filings that say something of a scope, read once."""

    def __init__(self, scope: Scope) -> None:
        self._scope = scope
        filings = Filing.objects.saying_something_of(scope.jurisdiction).standing().order_by("submitted_at")
        self._filed = {
            (part, one.jurisdiction_id): one for one in filings for part in one.filed_period.slices
        }

    def tonnes(self, asked: Slice) -> tuple[Tonnes, Uncovered]:
        """What was filed of a slice, and of which of its days for which jurisdictions nothing was."""
        found: list[EarlierTonnes] = []
        uncovered: dict[Slice, set[str]] = {}
        for one in self._scope.jurisdictions:
            for part, filing in self._tiles(asked, one):
                if filing is None:
                    uncovered.setdefault(part, set()).add(one.name)
                elif filing.jurisdiction_id:
                    found += _as_filed(filing, part, name=one.name)
                else:
                    found += [said for said in _as_filed(filing, part) if said.jurisdiction == one.name]
        return tuple(found), {part: frozenset(names) for part, names in uncovered.items()}

    def _tiles(self, asked: Slice, one: Jurisdiction) -> Iterator[tuple[Slice, Filing | None]]:
        """The slice laid out day by day: filed slices, of those that begin together the longest, and what is left."""
        day = asked.first_day
        for part in self._within(asked):
            filing = self._filing_of(part, one)
            if filing is None or part.first_day < day:
                continue
            if day < part.first_day:
                yield asked.clipped(day, part.first_day - DAY), None
            yield part, filing
            day = part.after
        if day <= asked.last_day:
            yield asked.clipped(day, asked.last_day), None

    def _within(self, asked: Slice) -> list[Slice]:
        parts = {
            part
            for part, _jurisdiction in self._filed
            if asked.first_day <= part.first_day and part.last_day <= asked.last_day
        }
        return sorted(parts, key=lambda part: (part.first_day, -part.last_day.toordinal()))

    def _filing_of(self, part: Slice, one: Jurisdiction) -> Filing | None:
        """A jurisdiction's own filing; one of all places goes on from those of all places before it."""
        together = self._filed.get((part, None))
        if together and one.name not in _named_by(together):
            together = None
        own = self._filed.get((part, one.pk))
        return (own or together) if self._scope.is_one else (together or own)


class TonnesBefore:
    """Cells of slices, each gathered once, and the tonnes of the days before a period."""

    def __init__(self, *, scope: Scope, cut_off: date, shared: dict[str, Any]) -> None:
        self._scope, self._cut_off, self._shared = scope, cut_off, shared
        self._gathered: dict[Slice, QuarterCells] = {}

    def cells(self, parts: Iterable[Slice]) -> tuple[QuarterCells, ...]:
        return tuple(self._cells(part) for part in parts)

    def until(self, first: date) -> Tonnes:
        """Landfill-bound tonnes of the days before `first`: as filed where a filing covers them, else computed."""
        began = gathering.first_day_in_use(scope=self._scope)
        if began is None:
            return ()
        filings = EarlierFilings(self._scope)
        earlier: list[EarlierTonnes] = []
        for part in periods.slices_between(periods.first_day(periods.quarter_of(began)), first - DAY):
            filed, uncovered = filings.tonnes(part)
            earlier += filed
            for days, names in uncovered.items():
                earlier += computed(self._cells(days), self._shared, only=names)
        return tuple(earlier)

    def computed_between(self, first: date, last: date) -> Tonnes:
        """The same of these days as the records stand, whether or not they were filed."""
        return tuple(
            one
            for part in periods.slices_between(first, last)
            for one in computed(self._cells(part), self._shared)
        )

    def _cells(self, part: Slice) -> QuarterCells:
        if part not in self._gathered:
            self._gathered[part] = gathering.gather_slice(part, scope=self._scope, cut_off=self._cut_off)
        return self._gathered[part]


def computed(cells: QuarterCells, shared: dict[str, Any], *, only: frozenset[str] | None = None) -> Tonnes:
    """The tonnes of a slice from its cells, of all jurisdictions or of those named."""
    if not cells.exposure or (only is not None and not only):
        return ()
    done = account.compute(AccountInputs(quarters=(cells,), **shared))
    tonnes = _tonnes(done.to_dict()["landfill_bound"], span=cells.span)
    return tuple(one for one in tonnes if only is None or one.jurisdiction in only)


def _named_by(filing: Filing) -> frozenset[str]:
    """The jurisdictions that were served when it was filed, by their names of then."""
    return frozenset(one["code"] for one in filing.inputs["period"]["jurisdictions"])


def _as_filed(filing: Filing, part: Slice, *, name: str = "") -> Tonnes:
    """What a filing froze of a slice; a jurisdiction's own goes on under its name of today."""
    kept = filing.report["account"]["period"]["landfill_bound"]
    return _tonnes((one for one in kept if one["quarter"] == str(part.quarter)), span=part.span, name=name)


def _tonnes(landfill_bound: Iterable[dict[str, Any]], *, span: str, name: str = "") -> Tonnes:
    return tuple(
        EarlierTonnes(
            quarter=periods.read_quarter(one["quarter"]),
            jurisdiction=name or one["jurisdiction"],
            material=Material(one["material"]),
            landfill_bound_tonnes=one["tonnes"],
            span=span,
        )
        for one in landfill_bound
    )
