"""Paper that is typed row by row: one file of paperwork that grows, read through the same eyes as any other.

A typed sheet of a workshop is told its workshop by number, so its rows need no date or venue. What a row says is
on record already adds nothing; what a person must look at waits in the same review.
"""

import csv
import io
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import Max
from django.utils.translation import gettext as _

from outreach.followup.models import Answer
from outreach.intake.answer_exports import AnswerGiven
from outreach.intake.columns import Column
from outreach.intake.fields import Fields, Habits, NotRead, PassedOver
from outreach.intake.keeping import keep
from outreach.intake.kinds import Kind
from outreach.intake.models import IntakeMade, PaperworkFile, PaperworkRow
from outreach.intake.opening import digest
from outreach.intake.preparing import Fact, Lists, PreparedRow, read_fields
from outreach.intake.results import Outcome, RowResult
from outreach.intake.titles import Occasion
from outreach.intake.understanding import Reading
from outreach.intake.writing import Plan, keep_made
from outreach.staff.models import StaffMember
from outreach.workshops.models import Workshop

SHEET = "typed"
COLUMNS = {
    Kind.SIGN_IN: (
        ("row_code", "Code"),
        ("name", "Name"),
        ("address", "Address"),
        ("unit", "Unit"),
        ("city", "City"),
        ("zip", "ZIP"),
        ("contact", "E-mail or phone"),
        ("bin_taken", "Bin"),
        ("party", "People"),
    ),
    Kind.ANSWERS: (
        ("date", "Date"),
        ("name", "Name"),
        ("address", "Address"),
        ("zip", "ZIP"),
        ("composting", "Still composting"),
        ("food", "Food scraps"),
        ("yard", "Yard trimmings"),
        ("before", "Where it went before"),
        ("wants_help", "Wants help"),
        ("note", "Note"),
    ),
}


def says_of(kind: str) -> list[str]:
    """What the columns of a typed sheet say, from left to right."""
    return [says for says, _heading in COLUMNS[Kind(kind)]]


def for_workshop(*, workshop: Workshop, by: StaffMember, at: datetime) -> PaperworkFile:
    """The typed sign-in sheet of a workshop; where none was begun, one that its first row will save."""
    title = f"Sign-in sheet typed for workshop {workshop.pk}"
    occasion = Occasion(
        held_on=workshop.held_on,
        venue=workshop.venue.name,
        city=workshop.venue.jurisdiction.name,
        workshop_id=workshop.pk,
    )
    return _file(title, Kind.SIGN_IN, occasion, by, at)


def for_answers(*, on: date, by: StaffMember, at: datetime) -> PaperworkFile:
    """The stack of paper answers that someone types on one day."""
    return _file(f"Answers typed on {on} by {by.get_username()}", Kind.ANSWERS, Occasion(), by, at)


def _file(title: str, kind: Kind, occasion: Occasion, by: StaffMember, at: datetime) -> PaperworkFile:
    data = _as_csv([[title], [heading for _says, heading in COLUMNS[kind]]])
    there = PaperworkFile.objects.of_bytes(digest(data)).taken_in().first()
    if there is not None:
        return there
    columns = [
        Column(index=index, heading=heading, says=says, because="person")
        for index, (says, heading) in enumerate(COLUMNS[kind])
    ]
    reading = Reading(
        name=SHEET,
        kind=kind,
        heading_row=2,
        columns=tuple(columns),
        occasion=occasion,
        habits=Habits(columns=frozenset(says_of(kind))),
        layout_key="",
        row_count=0,
    )
    return PaperworkFile(
        sha256=digest(data),
        name=f"{title}.csv",
        byte_count=len(data),
        kind=kind,
        state=PaperworkFile.State.TAKEN_IN,
        received_at=at,
        received_by=by,
        taken_in_at=at,
        reading={"sheets": [reading.as_json()], "settled": True},
    )


def _as_csv(rows: Sequence[Sequence[str]]) -> bytes:
    text = io.StringIO()
    csv.writer(text).writerows(rows)
    return text.getvalue().encode()


@dataclass(frozen=True, slots=True, kw_only=True)
class Typed:
    """A row as it was typed: its number on the sheet and its texts by what they say."""

    number: int
    texts: Mapping[str, str]

    @property
    def is_empty(self) -> bool:
        return not any(text.strip() for says, text in self.texts.items() if says != "date")

    def cells(self, kind: str) -> list[str]:
        return [self.texts.get(says, "").strip() for says in says_of(kind)]


def understood(file: PaperworkFile, typed: Typed, lists: Lists) -> Fact:
    """What a typed row states.

    Raises
    ------
    ValidationError
        Naming what is missing, or that the row is empty.
    """
    reading = Reading.from_json(file.reading["sheets"][0])
    values = {says: (text,) for says, text in typed.texts.items() if text.strip()}
    fields = Fields(values=values, habits=Habits(columns=frozenset(says_of(file.kind))))
    headings = [column.heading for column in reading.columns if column.says in {"food", "yard"}]
    states = read_fields(file.kind, fields, reading.occasion, lists, headings)
    if isinstance(states, NotRead):
        raise ValidationError(states.problem)
    if isinstance(states, PassedOver):
        raise ValidationError(_("The row names nobody."))
    return replace(states, channel=Answer.Channel.PAPER) if isinstance(states, AnswerGiven) else states


@transaction.atomic
def save_row(*, file: PaperworkFile, typed: Typed, by: StaffMember, at: datetime) -> PaperworkRow:
    """Record what one typed row states; the same row sent twice is one.

    Raises
    ------
    ValidationError
        With what is missing; nothing is written then.
    """
    file = _begun(file)
    cells = typed.cells(file.kind)
    there = PaperworkRow.objects.of_file(file).filter(row_number=typed.number).first()
    if there is not None and there.cells == cells:
        return there
    number = typed.number if there is None else next_number(file)
    lists = Lists.load()
    states = understood(file, typed, lists)
    prepared = PreparedRow(sheet=SHEET, number=number, cells=tuple(cells), states=states)
    plan = Plan.make([prepared], lists, by=by, at=at, source=file.sha256)
    plan.batch.of_earlier_rows = _handouts_of(file)
    plan.carry_out()
    result = plan.batch.rows[0]
    if result.outcome == Outcome.NOT_READ:
        raise ValidationError(result.reasons)
    _add_up(file, plan.batch.all_counts())
    return _kept(file, result, cells)


def _begun(file: PaperworkFile) -> PaperworkFile:
    """The file as it is on record, locked; saved now where this is its first row."""
    locked = PaperworkFile.objects.taken_in().select_for_update(of=("self",))
    if (there := locked.of_bytes(file.sha256).first()) is not None:
        return there
    headings = [heading for _says, heading in COLUMNS[Kind(file.kind)]]
    file.stored_as = keep(_as_csv([[file.name.removesuffix(".csv")], headings]))
    file.save()
    return file


def _handouts_of(file: PaperworkFile) -> frozenset[int]:
    made = IntakeMade.objects.filter(row__file=file, handout__isnull=False)
    return frozenset(made.values_list("handout_id", flat=True))


def next_number(file: PaperworkFile) -> int:
    """The number of the next row; the heading is row 2."""
    if file.pk is None:
        return 3
    last = PaperworkRow.objects.of_file(file).aggregate(last=Max("row_number"))["last"]
    return (last or 2) + 1


def _kept(file: PaperworkFile, result: RowResult, cells: Sequence[str]) -> PaperworkRow:
    row = PaperworkRow(
        file=file,
        sheet=SHEET,
        row_number=result.prepared.number,
        cells=list(cells),
        outcome=result.outcome or Outcome.ALREADY_KNOWN,
        review_reason=result.review_reason,
    )
    row.full_clean()
    row.save()
    keep_made([(row.pk, result)])
    return row


def _add_up(file: PaperworkFile, counts: Mapping[str, int]) -> None:
    file.counts = {name: file.counts.get(name, 0) + count for name, count in counts.items()}
    file.save(update_fields=["counts"])
