"""One file into the records, all or nothing, in one short transaction."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db import IntegrityError, transaction
from django.db.models import Max, Model

from outreach.households.knowing import KnownHouseholds
from outreach.households.models import Household, Participant
from outreach.intake.answer_records import write_answers
from outreach.intake.attendance_records import write_sign_ins
from outreach.intake.models import IntakeMade, PaperworkFile, PaperworkRow
from outreach.intake.place_records import write_places
from outreach.intake.preparing import Lists, PreparedRow
from outreach.intake.results import Batch, RowResult
from outreach.intake.stock_records import write_stock
from outreach.staff.models import AuditEntry, StaffMember

TRIES = 3
_KIND_OF: dict[type[Model], str] = {
    IntakeMade._meta.get_field(kind).related_model: kind  # type: ignore[misc]
    for kind in IntakeMade.KINDS
}


@dataclass(frozen=True, slots=True)
class Snapshot:
    """Who was on record, and a mark that moves when somebody changes that."""

    known: KnownHouseholds
    mark: tuple[Any, ...]

    @classmethod
    def take(cls) -> "Snapshot":
        mark = _mark()
        return cls(KnownHouseholds.load(), mark)

    @property
    def still_true(self) -> bool:
        return self.mark == _mark()


def _mark() -> tuple[Any, ...]:
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
        snapshot = Snapshot.take()
        try:
            return _write(file, prepared, lists, snapshot, by, at)
        except IntegrityError:
            # Somebody recorded the same household or workshop in the same moment: look again.
            file.pk = file.pk if PaperworkFile.objects.filter(pk=file.pk).exists() else None
            if attempt == TRIES or PaperworkFile.objects.filter(sha256=file.sha256, state=TAKEN_IN).exists():
                raise
    return {}


TAKEN_IN = PaperworkFile.State.TAKEN_IN


@transaction.atomic
def _write(
    file: PaperworkFile,
    prepared: Sequence[PreparedRow],
    lists: Lists,
    snapshot: Snapshot,
    by: StaffMember | None,
    at: datetime,
) -> dict[str, int]:
    file.state, file.taken_in_at = TAKEN_IN, at
    file.save()
    batch = Batch.of(prepared, by=by, at=at, source=file.sha256)
    known = snapshot.known if snapshot.still_true else KnownHouseholds.load()
    write_facts(batch, lists, known)
    file.counts = batch.all_counts()
    file.save(update_fields=["counts"])
    keep_rows(file, batch)
    return file.counts


def write_facts(batch: Batch, lists: Lists, known: KnownHouseholds) -> None:
    """Places first, then stock, people and answers: each needs those before it."""
    write_places(batch)
    write_stock(batch)
    write_sign_ins(batch, lists, known)
    write_answers(batch, known)


def keep_rows(file: PaperworkFile, batch: Batch) -> None:
    """The rows with their cells as they were, and which record came of which."""
    rows = [
        PaperworkRow(
            file=file,
            sheet=result.prepared.sheet[:120],
            row_number=result.prepared.number,
            cells=list(result.prepared.cells),
            outcome=result.outcome or PaperworkRow.Outcome.ALREADY_KNOWN,
            review_reason=result.review_reason,
        )
        for result in batch.rows
    ]
    PaperworkRow.objects.bulk_create(rows, batch_size=1000)
    keep_made(zip(rows, batch.rows, strict=True))


def keep_made(pairs: Any) -> None:
    made = [
        IntakeMade(row=row, **{_KIND_OF[type(record)]: record})
        for row, result in pairs
        for record in result.made
    ]
    IntakeMade.objects.bulk_create(made, batch_size=1000)


def result_of(batch: Batch) -> RowResult:
    """The only row of a batch that a person completed."""
    return batch.rows[0]
