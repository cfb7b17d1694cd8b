"""Tonnes of the quarters before a filing: as filed where a filing covers the jurisdiction, else computed now.

A filing of all jurisdictions covers each that it names; a jurisdiction's own filing goes before it. What no
filing covers is computed from the records as they stand.
"""

from collections.abc import Iterable
from typing import Any, TypeAlias

from diversion import account
from diversion.inputs import AccountInputs, EarlierTonnes, Quarter, QuarterCells
from diversion.materials import Material
from outreach.filings import periods
from outreach.filings.gathering import Scope
from outreach.filings.models import Filing

Tonnes: TypeAlias = tuple[EarlierTonnes, ...]


class EarlierFilings:
    """The standing filings that say something of a scope, read once."""

    def __init__(self, scope: Scope) -> None:
        self._scope = scope
        filings = Filing.objects.saying_something_of(scope.jurisdiction).standing().order_by("submitted_at")
        self._filed = {(one.quarter, one.jurisdiction_id): one for one in filings}

    def tonnes(self, quarter: Quarter) -> tuple[Tonnes, frozenset[str]]:
        """What was filed of a quarter, and the names of the jurisdictions of the scope that no filing covers."""
        together = self._filed.get((str(quarter), None))
        named = _named_by(together) if together else frozenset()
        found: list[EarlierTonnes] = []
        uncovered = set()
        for one in self._scope.jurisdictions:
            if own := self._own_first(quarter, one.pk, together_covers=one.name in named):
                found += _as_filed(own, one.name)
            elif together and one.name in named:
                found += [tonnes for tonnes in _as_filed(together) if tonnes.jurisdiction == one.name]
            else:
                uncovered.add(one.name)
        return tuple(found), frozenset(uncovered)

    def _own_first(self, quarter: Quarter, jurisdiction_id: int, *, together_covers: bool) -> Filing | None:
        """A jurisdiction's own filing; one of all places goes on from those of all places before it."""
        if together_covers and not self._scope.is_one:
            return None
        return self._filed.get((str(quarter), jurisdiction_id))


def computed(cells: QuarterCells, shared: dict[str, Any], *, only: frozenset[str] | None = None) -> Tonnes:
    """The tonnes of a quarter from its cells, of all jurisdictions or of those named."""
    if not cells.exposure or (only is not None and not only):
        return ()
    done = account.compute(AccountInputs(quarters=(cells,), **shared))
    tonnes = _tonnes(done.to_dict()["landfill_bound"])
    return tuple(one for one in tonnes if only is None or one.jurisdiction in only)


def _named_by(filing: Filing) -> frozenset[str]:
    """The jurisdictions that were served when it was filed, by their names of then."""
    return frozenset(one["code"] for one in filing.inputs["period"]["jurisdictions"])


def _as_filed(filing: Filing, name: str = "") -> Tonnes:
    """What a filing froze; a jurisdiction's own goes on under its name of today."""
    return _tonnes(filing.report["account"]["period"]["landfill_bound"], name)


def _tonnes(landfill_bound: Iterable[dict[str, Any]], name: str = "") -> Tonnes:
    return tuple(
        EarlierTonnes(
            quarter=periods.read_quarter(one["quarter"]),
            jurisdiction=name or one["jurisdiction"],
            material=Material(one["material"]),
            landfill_bound_tonnes=one["tonnes"],
        )
        for one in landfill_bound
    )
