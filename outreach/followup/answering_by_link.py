"""What a household chose in the form, kept as an answer: in parts as they come, and corrected until the wave closes."""

from collections.abc import Mapping
from datetime import date, datetime
from functools import partial
from typing import Any

from django.db import transaction
from django.utils import timezone

from diversion.materials import Material
from outreach.followup import answering, asking_help, reminding, reviewing
from outreach.followup.answer_reading import AnswerAsGiven
from outreach.followup.models import Answer, Invitation
from outreach.followup.offered_containers import as_words
from outreach.households import consent
from outreach.households.models import Household


@transaction.atomic
def keep(*, invitation: Invitation, said: Mapping[str, Any], channel: str, at: datetime) -> Answer:
    """Keep one page. The first makes an answer, the next corrects it; the same again changes nothing.

    Raises
    ------
    ValidationError
        If somebody in the office has meanwhile corrected the answer, or set it aside.
    """
    now = Invitation.objects.select_for_update(of=("self",)).with_household().get(pk=invitation.pk)
    together = {**now.said, **said}
    old = now.answer
    if old is None:
        given = _given(now, together, channel, timezone.localdate(at))
        answer = answering.record_answer(given=given, by=None, at=at).answer
    elif together == now.said:
        answer = old
    else:
        given = _given(now, together, old.channel, old.answered_on)
        answer = reviewing.correct_answer(answer=old, given=given, by=None, at=at)
    now.said, now.answer = together, answer
    now.save(update_fields=["said", "answer"])
    reminding.settle(now, Invitation.Because.ANSWERED, at)
    if answer.wants_help:
        transaction.on_commit(partial(asking_help.open_for, answer, at))
    return answer


def note_consent(*, invitation: Invitation, word: str, at: datetime) -> None:
    """Keep whether they may be asked again, where they chose; from a no on nothing more is sent."""
    if word:
        consent.say(
            household=invitation.household,
            purpose=consent.Purpose.FOLLOW_UP,
            is_given=word == "yes",
            how=consent.How.ANSWER,
            at=at,
        )


def said_of_consent(invitation: Invitation) -> str:
    """What they said last of being asked, as the form has it; '' where they never did."""
    known = consent.latest(invitation.household, consent.Purpose.FOLLOW_UP)
    return "" if known is None else "yes" if known.is_given else "no"


def asks_before(invitation: Invitation) -> bool:
    """Whether it is not known yet where scraps went before the bin, or was said in this form and may be corrected."""
    return "before" in invitation.said or not _known_before(invitation.counted_under)


def _known_before(household: Household) -> str:
    """What the household said of it in an earlier wave, in words that were understood; '' where it did not."""
    known = Answer.objects.current().counted_for(household).says_before().first()
    return known.before_as_written if known else ""


def _given(invitation: Invitation, said: Mapping[str, Any], channel: str, on: date) -> AnswerAsGiven:
    stopped_on = said.get("stopped_on")
    return AnswerAsGiven(
        household=invitation.household,
        answered_on=on,
        channel=channel,
        composting=said["composting"],
        stopped_on=date.fromisoformat(stopped_on) if stopped_on else None,
        why_stopped=said.get("why_stopped", ""),
        food_text=as_words(said, Material.FOOD),
        yard_text=as_words(said, Material.YARD),
        browns_text=as_words(said, Material.BROWNS),
        before_text=said["before"] if "before" in said else _known_before(invitation.counted_under),
        problems=said.get("problems", ""),
        wants_help=bool(said.get("wants_help")),
        harvested=said.get("harvested", ""),
        remarks=said.get("line", ""),
        reminders=invitation.reminders_sent,
    )
