"""A row that a person looked at: completed and written, or found right as it is."""

from collections.abc import Mapping
from datetime import datetime

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext as _

from outreach.followup.models import Answer
from outreach.followup.reviewing import correct_answer
from outreach.households.models import Household
from outreach.households.recording import HouseholdFacts, correct_household
from outreach.intake.answer_exports import AnswerGiven
from outreach.intake.answer_records import as_given
from outreach.intake.columns import SAYS
from outreach.intake.fields import Fields, NotRead, PassedOver
from outreach.intake.forms import FIELD_NAMES
from outreach.intake.models import IntakeMade, PaperworkRow
from outreach.intake.preparing import Fact, Lists, PreparedRow, read_fields, struck_through
from outreach.intake.results import Outcome, RowResult
from outreach.intake.sheets import SheetRow
from outreach.intake.sign_in_sheets import SignIn
from outreach.intake.staging import readings_of
from outreach.intake.titles import Occasion
from outreach.intake.understanding import Reading
from outreach.intake.writing import Plan, keep_made
from outreach.places.serving import PlacesList
from outreach.staff.models import StaffMember


def reading_of(row: PaperworkRow) -> Reading:
    """How the sheet of a row was understood."""
    return next(reading for reading in readings_of(row.file) if reading.name[:120] == row.sheet)


def fields_of(row: PaperworkRow) -> Fields:
    """The row by what its columns say, from its cells as they were."""
    reading = reading_of(row)
    cells = SheetRow(number=row.row_number, cells=tuple(row.cells))
    return Fields.of_row(cells, reading.columns, reading.habits)


@transaction.atomic
def complete_row(
    *, row: PaperworkRow, texts: Mapping[str, str], by: StaffMember, at: datetime
) -> PaperworkRow:
    """Write what a row states once a person has corrected it; `texts` are its fields as they should be.

    Where they say which workshop it was, the rows of the sheet that wait for the same answer follow.
    Raises ValidationError with what is still missing; nothing is written then.
    """
    row = _complete(row, texts, by, at)
    if _chosen_workshop(texts):
        _let_the_rest_follow(row, texts["workshop_number"], by, at)
    return row


def _complete(row: PaperworkRow, texts: Mapping[str, str], by: StaffMember, at: datetime) -> PaperworkRow:
    row = _still_waiting(row)
    lists = Lists.load()
    changed = _changed(row, texts)
    states = _understood(row, texts, lists)
    made = {type(one.record): one.record for one in IntakeMade.objects.of_rows([row])}
    if isinstance(states, AnswerGiven) and Answer in made:
        result = _correct_the_answer(row, states, made[Answer], by, at)  # type: ignore[arg-type]
    else:
        if isinstance(states, SignIn) and Household in made:
            _correct_the_household(states, made[Household], lists.places)  # type: ignore[arg-type]
        result = _write(row, states, lists, by, at)
    keep_made([(row.pk, result)])
    if result.made or row.outcome == Outcome.NOT_READ:
        row.outcome = result.outcome
    said = ", ".join(str(FIELD_NAMES.get(says) or SAYS.get(says) or says) for says in changed)
    return _resolve(row, _("completed: %(fields)s") % {"fields": said} if said else _("completed"), by, at)


def _let_the_rest_follow(row: PaperworkRow, workshop_number: str, by: StaffMember, at: datetime) -> None:
    """Other rows of the sheet that wait for the same answer, read with it; what else they lack still waits."""
    for one in PaperworkRow.objects.waiting_like(row):
        try:
            with transaction.atomic():
                _complete(one, {"workshop_number": workshop_number}, by, at)
        except ValidationError:
            continue


@transaction.atomic
def find_right(*, row: PaperworkRow, by: StaffMember, at: datetime) -> PaperworkRow:
    """Someone has looked: there is nothing to do."""
    return _resolve(_still_waiting(row), _("already right, nothing to do"), by, at)


def try_again(*, by: StaffMember, at: datetime) -> int:
    """Read once more what could not be read when it came, with what has been recorded since; how many
    rows were recorded now. Answers that came before their sign-in sheets find their households so."""
    recorded = 0
    # Whether a row that someone crossed out counts is not for a machine to say.
    for row in PaperworkRow.objects.not_read().but_for(struck_through()).select_related("file"):
        try:
            complete_row(row=row, texts={}, by=by, at=at)
        except ValidationError:
            continue
        recorded += 1
    return recorded


def _still_waiting(row: PaperworkRow) -> PaperworkRow:
    now = PaperworkRow.objects.select_for_update(of=("self",)).select_related("file").get(pk=row.pk)
    if not now.waits:
        raise ValidationError(_("Someone has already settled this row."))
    return now


def _changed(row: PaperworkRow, texts: Mapping[str, str]) -> list[str]:
    fields = fields_of(row)
    return [says for says, text in texts.items() if text != fields.text(says)]


def _understood(row: PaperworkRow, texts: Mapping[str, str], lists: Lists) -> Fact:
    reading = reading_of(row)
    occasion = reading.occasion
    headings = [column.heading for column in reading.columns if column.says in {"food", "yard"}]
    told = Occasion(city=texts.get("workshop_city", ""), workshop_id=_chosen_workshop(texts))
    fields = fields_of(row).with_texts({says: text for says, text in texts.items() if says in SAYS})
    states = read_fields(reading.kind, fields, told.or_else(occasion), lists, headings)
    if isinstance(states, NotRead):
        raise ValidationError(states.problem)
    if isinstance(states, PassedOver):
        raise ValidationError(_("The row is empty now. Fill it in, or say that there is nothing to do."))
    return states


def _chosen_workshop(texts: Mapping[str, str]) -> int | None:
    return int(texts["workshop_number"]) if texts.get("workshop_number") else None


def _write(row: PaperworkRow, states: Fact, lists: Lists, by: StaffMember, at: datetime) -> RowResult:
    prepared = PreparedRow(
        sheet=row.sheet,
        number=row.row_number,
        cells=tuple(row.cells),
        states=states,
        is_decided=True,
    )
    plan = Plan.make([prepared], lists, by=by, at=at, source=row.file.sha256)
    plan.carry_out()
    result = plan.batch.rows[0]
    if result.outcome == Outcome.NOT_READ or result.is_incomplete:
        raise ValidationError(result.reasons)
    return result


def _correct_the_household(fact: SignIn, household: Household, places: PlacesList) -> None:
    """The household that this row made lives where the person now says."""
    household.refresh_from_db()
    if household.merged_into_id is not None or not fact.address.street_key or fact.address.problem:
        return
    facts = HouseholdFacts(
        district=household.district,
        language=household.language,
        composting_before=household.composting_before,
        note=household.note,
    )
    correct_household(
        household=household,
        address=fact.address,
        place=fact.place,
        began_on=household.began_on,
        facts=facts,
    )


def _correct_the_answer(
    row: PaperworkRow, given: AnswerGiven, answer: Answer, by: StaffMember, at: datetime
) -> RowResult:
    """The answer was kept with what could be read of it; now it is recorded as it should be."""
    result = RowResult(PreparedRow(sheet=row.sheet, number=row.row_number, cells=(), states=given))
    latest = answer
    while (corrected := Answer.objects.filter(corrects=latest).first()) is not None:
        latest = corrected
    new = correct_answer(
        answer=latest, given=as_given(given, answer.household, answer.participant), by=by, at=at
    )
    if new.waits:
        raise ValidationError(new.review_reason)
    result.add(new)
    return result


def _resolve(row: PaperworkRow, words: str, by: StaffMember, at: datetime) -> PaperworkRow:
    row.resolved_at, row.resolved_by, row.resolution = at, by, words[:300]
    row.full_clean()
    row.save(update_fields=["resolved_at", "resolved_by", "resolution", "outcome"])
    return row
