"""Recording what households answered, one at a time or a whole export."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from django.db import transaction

from outreach.followup import in_force, waves
from outreach.followup.amount_reader import AmountReader
from outreach.followup.answer_reading import AnswerAsGiven, answer_from
from outreach.followup.models import Answer, Invitation, Wave
from outreach.followup.sameness import KnownAnswers
from outreach.households.models import Household
from outreach.staff import many_rows
from outreach.staff.models import StaffMember
from outreach.workshops.roots import roots_of

DIFFERS = "it says something else than the answer already recorded for that day"


@dataclass(frozen=True, slots=True)
class RecordedAnswer:
    """The answer of a row, whether it was recorded before, and whether a person must look."""

    answer: Answer
    was_known: bool

    @property
    def is_in_review(self) -> bool:
        return self.answer.waits


@transaction.atomic
def record_answer(*, given: AnswerAsGiven, by: StaffMember | None, at: datetime) -> RecordedAnswer:
    """Record one answer of a household; what cannot be read or contradicts itself waits in review."""
    return record_answers([given], by=by, at=at)[0]


def record_answers(
    rows: Sequence[AnswerAsGiven], *, by: StaffMember | None, at: datetime
) -> list[RecordedAnswer]:
    """Record many answers, one result per row in the same order.

    Runs inside the caller's transaction, in a fixed number of statements. Sent twice is one answer; a
    different one of the same household and day is kept and waits in review.
    """
    recording = _Recording(rows, by, at)
    results = [recording.take(row) for row in rows]
    recording.write()
    return results


class _Recording:
    """One call of `record_answers`: what is known before, and what is to be written after."""

    def __init__(self, rows: Sequence[AnswerAsGiven], by: StaffMember | None, at: datetime) -> None:
        self.by, self.at = by, at
        self.root_ids = roots_of({row.household.pk for row in rows})
        self.roots = locked_roots(self.root_ids.values())
        self.waves = waves.open_waves()
        self.amounts = AmountReader.load()
        self.firsts = waves.first_handouts(self.roots)
        self.reminded = Invitation.objects.counted_for_any(self.roots).reminders_by_wave()
        recorded = Answer.objects.recorded_for(self.roots)
        self.known = KnownAnswers((one, self._wave_id(one)) for one in recorded)
        self.new: list[Answer] = []
        self.moved: list[Answer] = []
        self.touched: set[int] = set()

    def take(self, given: AnswerAsGiven) -> RecordedAnswer:
        root = self.roots[self.root_ids[given.household.pk]]
        answer = answer_from(given, root=root, at=self.at, amounts=self.amounts)
        wave = self._wave(answer)
        wave_id = wave.pk if wave else None
        if same := self.known.same_as(answer, wave_id):
            self._keep_the_earlier_day(same, answer)
            return RecordedAnswer(same, was_known=True)
        if self.known.on_same_day(answer):
            answer.review_reason = "; ".join(filter(None, [answer.review_reason, DIFFERS]))[:300]
        if wave and not self.known.has_answered(answer.household_id, wave.pk):
            answer.wave = wave
        answer.entered_by = self.by
        if answer.reminders is None:
            answer.reminders = self.reminded.get((root.pk, wave_id or 0))
        self.known.add(answer, wave_id)
        self.new.append(answer)
        self.touched.add(root.pk)
        return RecordedAnswer(answer, was_known=False)

    def _keep_the_earlier_day(self, same: Answer, answer: Answer) -> None:
        if not same.is_current or same.answered_on <= answer.answered_on:
            return
        same.answered_on = answer.answered_on
        self.touched.add(same.counted_under_id)
        if same.pk is not None:
            self.moved.append(same)

    def write(self) -> None:
        changed = [one for pk in self.touched for one in in_force.set_days(self.known.of_root[pk])]
        in_force.write_days(one for one in changed if one.pk is not None)
        many_rows.update_records(self.moved, ["answered_on"])
        many_rows.insert_records(self.new, among=Answer.objects.recorded_for(self.roots))

    def _wave(self, answer: Answer) -> Wave | None:
        return waves.wave_of(self.firsts.get(answer.counted_under_id), answer.answered_on, self.waves)

    def _wave_id(self, answer: Answer) -> int | None:
        wave = self._wave(answer)
        return wave.pk if wave else None


def locked_roots(root_ids: Iterable[int]) -> dict[int, Household]:
    """These households, held until the transaction ends, in the order of their numbers."""
    return Household.objects.select_for_update().order_by("pk").in_bulk(set(root_ids))
