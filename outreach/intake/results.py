"""What came of each row while a file is written, and the counts that are printed of it."""

import uuid
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import datetime
from typing import TypeVar

from django.db.models import Model

from outreach.intake.fields import NotRead, PassedOver
from outreach.intake.models import PaperworkRow
from outreach.intake.preparing import PreparedRow
from outreach.staff.models import StaffMember

Outcome = PaperworkRow.Outcome
Stated = TypeVar("Stated")

COUNTED = (
    "workshops",
    "attendances",
    "people",
    "households",
    "handouts",
    "second_bins",
    "outside_area",
    "answers",
    "answers_active",
    "answers_repeated",
    "for_review",
    "already_known",
    "came_along",
)


@dataclass(slots=True)
class RowResult:
    """One row, what was made of it, and why a person must look."""

    prepared: PreparedRow
    outcome: str = ""
    reasons: list[str] = field(default_factory=list)
    made: list[Model] = field(default_factory=list)
    # Something the row states could not be recorded yet.
    is_incomplete: bool = False

    @property
    def review_reason(self) -> str:
        reasons = " ".join(dict.fromkeys(self.reasons))
        longest = 300
        return reasons if len(reasons) <= longest else reasons[: longest - 1] + "…"

    def doubt(self, *reasons: str) -> None:
        self.reasons.extend(filter(None, reasons))

    def leave_open(self, reason: str) -> None:
        """Part of the row is recorded; for the rest a person has to say something."""
        self.is_incomplete = True
        self.doubt(reason)

    def not_read(self, reason: str) -> None:
        self.outcome = Outcome.NOT_READ
        self.doubt(reason)

    def add(self, record: Model) -> None:
        self.made.append(record)
        self.outcome = Outcome.MADE

    def known(self) -> None:
        """What the row says was recorded before; a row that also made something counts as made."""
        self.outcome = self.outcome or Outcome.ALREADY_KNOWN


@dataclass(slots=True)
class Batch:
    """The rows of one file on their way into the records: who writes them, when, and what came of each."""

    rows: list[RowResult]
    by: StaffMember | None
    at: datetime
    # Tells the same bin of the same row apart from any other, also when it is written twice.
    source: str
    counts: Counter[str] = field(default_factory=Counter)
    # Handouts that rows of the same sheet made before, where it is written row by row.
    of_earlier_rows: frozenset[int] = frozenset()

    @classmethod
    def of(
        cls, prepared: Iterable[PreparedRow], *, by: StaffMember | None, at: datetime, source: str
    ) -> "Batch":
        batch = cls([RowResult(row) for row in prepared], by, at, source)
        for row in batch.rows:
            states = row.prepared.states
            if isinstance(states, NotRead):
                row.not_read(states.problem)
            elif isinstance(states, PassedOver):
                row.outcome = Outcome.PASSED_OVER
            elif not row.prepared.is_decided:
                row.doubt(*states.doubts)
        return batch

    def stating(self, kind: type[Stated]) -> list[tuple[RowResult, Stated]]:
        """The rows that state this kind of fact."""
        return [
            (row, row.prepared.states)
            for row in self.rows
            if isinstance(row.prepared.states, kind) and row.outcome != Outcome.NOT_READ
        ]

    def event(self, row: RowResult, what: str) -> uuid.UUID:
        """The number of an event that a row states: the same row states it once, however often it is written."""
        place = f"{self.source}/{row.prepared.sheet}/{row.prepared.number}/{what}"
        return uuid.uuid5(uuid.NAMESPACE_OID, place)

    def all_counts(self) -> dict[str, int]:
        """The counts that the command prints, rows included."""
        self.counts["for_review"] = sum(bool(row.reasons) for row in self.rows)
        self.counts["already_known"] = sum(row.outcome == Outcome.ALREADY_KNOWN for row in self.rows)
        return {name: self.counts[name] for name in COUNTED}
