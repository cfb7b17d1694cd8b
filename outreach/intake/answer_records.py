"""Rows of answer exports → answers of households on record; whom no household fits goes to review."""

from django.utils.translation import gettext as _

from outreach.followup.answer_reading import AnswerAsGiven
from outreach.followup.answering import record_answers
from outreach.followup.models import Answer
from outreach.households.knowing import How, KnownHouseholds
from outreach.households.models import Household, Participant
from outreach.households.recording import PersonFacts
from outreach.intake.answer_exports import AnswerGiven
from outreach.intake.people_records import PeopleAtHand
from outreach.intake.results import Batch, RowResult
from outreach.places.addresses import ReadAddress

Placed = tuple[RowResult, AnswerGiven, int, int | None]
NOWHERE = ReadAddress()


def write_answers(batch: Batch, known: KnownHouseholds) -> None:
    """Record each answer once; the same sent again is counted as repeated."""
    stated = batch.stating(AnswerGiven)
    if not stated:
        return
    people = PeopleAtHand(batch, known)
    placed = _placed(stated, known, people)
    persons = {person for *_rest, person in placed if person is not None}
    people.write({number for *_rest, number, _person in placed}, persons)
    rows = [
        as_given(answer, people.households[number], people.people.get(person) if person else None)
        for _row, answer, number, person in placed
    ]
    recorded = record_answers(rows, by=batch.by, at=batch.at)
    for (row, *_rest), result in zip(placed, recorded, strict=True):
        if not result.was_known:
            row.add(result.answer)
            batch.counts["answers"] += 1
            batch.counts["answers_active"] += result.answer.is_active
            _doubt(row, result.answer)
        else:
            row.reasons.clear()
            row.known()
            batch.counts["answers_repeated"] += 1


def _doubt(row: RowResult, answer: Answer) -> None:
    if answer.waits and not row.reasons:
        row.doubt(_("Answer: recorded, but it does not count until someone has looked. See Follow-up."))


def _placed(
    stated: list[tuple[RowResult, AnswerGiven]], known: KnownHouseholds, people: PeopleAtHand
) -> list[Placed]:
    placed: list[Placed] = []
    for row, answer in stated:
        facts = PersonFacts(name=answer.person, email=answer.email, phone=answer.phone)
        found = people.find(row, answer.address, facts, answer.answered_on)
        if found.how == How.UNKNOWN and answer.address.street_key:
            found = known.find(NOWHERE, on=answer.answered_on, person=facts)
            if found.household_id is not None:
                row.doubt(_("Address: not on record; the household was found by the person. Check it."))
        if found.household_id is None:
            if found.how == How.UNKNOWN:
                row.not_read(_("Household: none on record has this address or person. Choose it."))
            continue
        person = known.participant_named(found.household_id, answer.person.name_key)
        placed.append((row, answer, found.household_id, person))
    return placed


def as_given(answer: AnswerGiven, household: Household, participant: Participant | None) -> AnswerAsGiven:
    """What a row of an export says, as an answer of a household on record."""
    return AnswerAsGiven(
        household=household,
        participant=participant,
        answered_on=answer.answered_on,
        composting=answer.composting,
        channel=Answer.Channel.EXPORT,
        food_text=answer.food,
        yard_text=answer.yard,
        per=answer.per,
        before_text=answer.before,
        stopped_on=answer.stopped_on,
        why_stopped=answer.why_stopped,
        problems=answer.problems,
        wants_help=answer.wants_help,
        remarks=answer.remarks,
    )
