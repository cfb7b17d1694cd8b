"""One file into the records, all or nothing, in one short transaction."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db import IntegrityError, connection, transaction
from django.db.models import Max, Model

from outreach.households.knowing import KnownHouseholds
from outreach.households.models import Household, Participant
from outreach.intake.answer_records import PlacedAnswer, plan_answers, write_answers
from outreach.intake.attendance_records import Placed, PlannedSignIns, plan_sign_ins, write_sign_ins
from outreach.intake.models import IntakeMade, PaperworkFile, PaperworkRow
from outreach.intake.people_records import PeopleAtHand
from outreach.intake.place_records import write_places
from outreach.intake.preparing import Lists, PreparedRow
from outreach.intake.results import Batch, RowResult
from outreach.intake.stock_records import write_stock
from outreach.staff import many_rows
from outreach.staff.models import AuditEntry, StaffMember

TRIES = 3
TAKEN_IN = PaperworkFile.State.TAKEN_IN
_COLUMN_OF: dict[type[Model], str] = {
    IntakeMade._meta.get_field(kind).related_model: f"{kind}_id"  # type: ignore[misc]
    for kind in IntakeMade.KINDS
}


def _mark() -> tuple[Any, ...]:
    """Moves when somebody changes who is on record."""
    return tuple(
        model.objects.aggregate(last=Max("pk"))["last"] for model in (Household, Participant, AuditEntry)
    )


def write_file(
    *,
    file: PaperworkFile,
    prepared: Sequence[PreparedRow],
    lists: Lists,
    by: StaffMember | None,
    at: datetime,
) -> dict[str, int]:
    """Record everything that the rows of a file state, and the rows themselves; return the counts.

    All of it or nothing. Who is on record is looked up before the transaction and only again where
    somebody has changed it meanwhile, so that nobody waits for that.
    """
    for attempt in range(1, TRIES + 1):
        mark = _mark()
        plan = Plan.make(prepared, lists, by=by, at=at, source=file.sha256)
        try:
            return _write(file, plan, prepared, lists, mark)
        except IntegrityError:
            # Somebody recorded the same household or workshop in the same moment: look again.
            file.pk = file.pk if PaperworkFile.objects.numbered([file.pk or 0]).exists() else None
            if attempt == TRIES or PaperworkFile.objects.of_bytes(file.sha256).taken_in().exists():
                raise
    return {}


@transaction.atomic
def _write(
    file: PaperworkFile,
    plan: "Plan",
    prepared: Sequence[PreparedRow],
    lists: Lists,
    mark: tuple[Any, ...],
) -> dict[str, int]:
    batch = plan.batch
    if mark != _mark():
        plan = Plan.make(prepared, lists, by=batch.by, at=batch.at, source=batch.source)
    file.state, file.taken_in_at = TAKEN_IN, batch.at
    file.save()
    plan.carry_out()
    file.counts = plan.batch.all_counts()
    file.save(update_fields=["counts"])
    keep_rows(file, plan.batch)
    return file.counts


@dataclass(frozen=True, slots=True)
class Plan:
    """Everything that can be found out without writing: which rows mean which households and people."""

    batch: Batch
    lists: Lists
    people: PeopleAtHand
    sign_ins: PlannedSignIns
    answers: list[PlacedAnswer]

    @classmethod
    def make(
        cls,
        prepared: Sequence[PreparedRow],
        lists: Lists,
        *,
        by: StaffMember | None,
        at: datetime,
        source: str,
    ) -> "Plan":
        batch = Batch.of(prepared, by=by, at=at, source=source)
        people = PeopleAtHand(batch, KnownHouseholds.load())
        sign_ins = plan_sign_ins(batch, lists, people)
        return cls(batch, lists, people, sign_ins, plan_answers(batch, people))

    def carry_out(self) -> None:
        """Places first, then stock, people and answers: each needs those before it."""
        write_places(self.batch)
        write_stock(self.batch)
        placed: list[Placed | PlacedAnswer] = [*self.sign_ins.placed, *self.answers]
        persons = {one.person for one in placed if one.person is not None}
        self.people.write({one.household for one in placed}, persons)
        write_sign_ins(self.batch, self.sign_ins, self.people, self.lists.bins)
        write_answers(self.batch, self.answers, self.people)


def keep_rows(file: PaperworkFile, batch: Batch) -> None:
    """The rows with their cells as they were, and which record came of which."""
    rows = [
        {
            "file_id": file.pk,
            "sheet": result.prepared.sheet[:120],
            "row_number": result.prepared.number,
            "cells": list(result.prepared.cells),
            "outcome": result.outcome or PaperworkRow.Outcome.ALREADY_KNOWN,
            "review_reason": result.review_reason,
        }
        for result in batch.rows
    ]
    # The file is new in this transaction, so nobody else can be adding rows of it.
    numbers = many_rows.insert_numbered(PaperworkRow, rows, among=PaperworkRow.objects.of_file(file))
    keep_made(zip(numbers, batch.rows, strict=True))


def keep_made(pairs: Iterable[tuple[int, RowResult]]) -> None:
    """Note for each record from which row it came: one prepared statement a kind, of just two columns."""
    by_column: dict[str, list[tuple[int, int]]] = defaultdict(list)
    for row_number, result in pairs:
        for record in result.made:
            by_column[_COLUMN_OF[type(record)]].append((row_number, record.pk))
    table = connection.ops.quote_name(IntakeMade._meta.db_table)
    with connection.cursor() as cursor:
        for column, made in by_column.items():
            # Table and columns are our own names; every value is a parameter.
            cursor.executemany(f"INSERT INTO {table} (row_id, {column}) VALUES (%s, %s)", made)  # noqa: S608
