"""Rows of answer exports → answers of households on record; whom no household fits goes to review."""

from dataclasses import dataclass

from django.utils.translation import gettext as _

from outreach.followup.answer_reading import AnswerAsGiven
from outreach.followup.answering import record_answers
from outreach.followup.models import Answer
from outreach.households.knowing import How
from outreach.households.models import Household, Participant
from outreach.households.recording import PersonFacts
from outreach.intake.answer_exports import AnswerGiven
from outreach.intake.people_records import PeopleAtHand
from outreach.intake.results import Batch, RowResult
from outreach.places.addresses import ReadAddress

NOWHERE = ReadAddress()


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedAnswer:
    """A row with the numbers of the household that answered and, where known, of the person."""

    row: RowResult
    answer: AnswerGiven
    household: int
    person: int | None


def write_answers(batch: Batch, planned: list[PlacedAnswer], people: PeopleAtHand) -> None:
    """Record each answer once; the same sent again is counted as repeated."""
    if not planned:
        return
    rows = [
        as_given(
            one.answer,
            people.households[one.household],
            people.people[one.person] if one.person is not None else None,
        )
        for one in planned
    ]
    for one, result in zip(planned, record_answers(rows, by=batch.by, at=batch.at), strict=True):
        if not result.was_known:
            one.row.add(result.answer)
            batch.counts["answers"] += 1
            batch.counts["answers_active"] += result.answer.is_active
            _doubt(one.row, result.answer)
        else:
            one.row.reasons.clear()
            one.row.known()
            batch.counts["answers_repeated"] += 1


def _doubt(row: RowResult, answer: Answer) -> None:
    if answer.waits and not row.reasons:
        row.doubt(_("Answer: recorded, but it does not count until someone has looked. See Follow-up."))


def plan_answers(batch: Batch, people: PeopleAtHand) -> list[PlacedAnswer]:
    """Find the household of each answer; those of which none is on record go to review."""
    placed = []
    for row, answer in batch.stating(AnswerGiven):
        facts = PersonFacts(name=answer.person, email=answer.email, phone=answer.phone)
        found = people.find(row, answer.address, facts, answer.answered_on)
        if found.how == How.UNKNOWN and answer.address.street_key:
            found = people.find(row, NOWHERE, facts, answer.answered_on)
            if found.household_id is not None:
                row.doubt(_("Address: not on record; the household was found by the person. Check it."))
        if found.household_id is None:
            if found.how == How.UNKNOWN:
                row.not_read(_("Household: none on record has this address or person. Choose it."))
            continue
        person = people.named(found.household_id, answer.person.name_key)
        placed.append(PlacedAnswer(row=row, answer=answer, household=found.household_id, person=person))
    return placed


def as_given(answer: AnswerGiven, household: Household, participant: Participant | None) -> AnswerAsGiven:
    """What a row of an export says, as an answer of a household on record."""
    return AnswerAsGiven(
        household=household,
        participant=participant,
        answered_on=answer.answered_on,
        composting=answer.composting,
        channel=answer.channel,
        food_text=answer.food,
        yard_text=answer.yard,
        per=answer.per,
        before_text=answer.before,
        stopped_on=answer.stopped_on,
        why_stopped=answer.why_stopped,
        problems=answer.problems,
        wants_help=answer.wants_help,
        remarks=answer.remarks,
        doubt=answer.unsure,
    )
