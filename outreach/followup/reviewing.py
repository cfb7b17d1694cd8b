"""Answers that a person has to look at, and corrections: nothing is overwritten, everything says who."""

from datetime import datetime

from django.core.exceptions import ValidationError
from django.db import models, transaction
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from outreach.followup import in_force, waves
from outreach.followup.amount_reader import AmountReader
from outreach.followup.answer_reading import AnswerAsGiven, answer_from
from outreach.followup.answering import locked_roots
from outreach.followup.models import Answer, Wave
from outreach.staff.models import StaffMember
from outreach.workshops.roots import roots_of


class Outcome(models.TextChoices):
    """What a person decides about an answer in review; a correction is an action of its own."""

    COUNT = "count", gettext_lazy("count it as it is")
    SET_ASIDE = "set_aside", gettext_lazy("set it aside")


@transaction.atomic
def correct_answer(*, answer: Answer, given: AnswerAsGiven, by: StaffMember | None, at: datetime) -> Answer:
    """Record what the household really said as a new answer; the old one stays, and counts no more.

    `by` is None where the household corrects it itself, through its link.
    """
    root_id = _locked_root_of(answer)
    old = _still_current(answer)
    root = locked_roots([roots_of([given.household.pk])[given.household.pk]])
    new = answer_from(given, root=next(iter(root.values())), at=at, amounts=AmountReader.load())
    new.entered_by, new.corrects, new.reminders = by, old, old.reminders
    if given.browns_text is None:
        new.browns_ml_per_week = old.browns_ml_per_week
    _retire(old)
    new.wave = _free_wave(new)
    new.full_clean()
    new.save()
    in_force.rebuild({root_id, new.counted_under_id})
    new.refresh_from_db()
    return new


@transaction.atomic
def settle_review(*, answer: Answer, outcome: str, by: StaffMember, at: datetime) -> Answer:
    """Let an answer count as it is, or set it aside for good; either way someone has looked."""
    root_id = _locked_root_of(answer)
    answer = _still_current(answer)
    if not answer.waits:
        raise ValidationError(_("Someone has already looked at this answer."))
    answer.reviewed_at, answer.reviewed_by = at, by
    if outcome == Outcome.COUNT:
        _replace_the_other_of_that_day(answer)
        answer.wave = answer.wave or _free_wave(answer)
    else:
        answer.is_current = False
    answer.full_clean()
    answer.save(update_fields=["reviewed_at", "reviewed_by", "is_current", "wave", "corrects"])
    in_force.rebuild([root_id])
    answer.refresh_from_db()
    return answer


def _locked_root_of(answer: Answer) -> int:
    root_id = Answer.objects.values_list("counted_under", flat=True).get(pk=answer.pk)
    locked_roots([root_id])
    return root_id


def _still_current(answer: Answer) -> Answer:
    now = Answer.objects.select_for_update(of=("self",)).get(pk=answer.pk)
    if not now.is_current:
        raise ValidationError(_("This answer was already corrected or set aside. Open the one that counts."))
    return now


def _retire(answer: Answer) -> None:
    answer.is_current, answer.in_force_from_day, answer.in_force_until_day = False, 0, 0
    answer.save(update_fields=["is_current", *in_force.DAYS])


def _replace_the_other_of_that_day(answer: Answer) -> None:
    """Two different answers of one day: the one a person lets count replaces the one that counted."""
    other = (
        Answer.objects.counting()
        .counted_for(answer.counted_under)
        .answered_on_day(answer.answered_on)
        .first()
    )
    if other is None:
        return
    _retire(other)
    answer.corrects = answer.corrects or other


def _free_wave(answer: Answer) -> Wave | None:
    """The wave its day falls into, unless another answer of the household already has it."""
    first = waves.first_handouts([answer.counted_under_id]).get(answer.counted_under_id)
    wave = waves.wave_of(first, answer.answered_on, waves.open_waves())
    if wave is None:
        return None
    taken = Answer.objects.current().of_wave(wave).of_household(answer.household).exclude(pk=answer.pk)
    return None if taken.exists() else wave
