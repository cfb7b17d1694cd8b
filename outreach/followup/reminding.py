"""Reminders with spacing and an end, and who is not reminded any more: answered, moved, not to be asked, over."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.db import transaction
from django.utils import timezone

from outreach.followup import asking_messages, calling, invitees, opening
from outreach.followup.asking_messages import is_unwanted
from outreach.followup.models import Invitation, InvitationQuerySet
from outreach.households import consent

Because = Invitation.Because


@dataclass(frozen=True, slots=True, kw_only=True)
class Done:
    """How many households one run asked, reminded, and let be."""

    asked: int
    reminded: int
    settled: int


def ask_due(at: datetime) -> Done:
    """Everything that is due now, in the order in which nobody is asked who need not be."""
    settled = settle_due(at)
    return Done(asked=opening.open_due(at), reminded=remind_due(at), settled=settled)


def settle_due(at: datetime) -> int:
    """Stop reminding whoever has answered, moved, or said no, and whoever's time is over; how many."""
    on, chased = timezone.localdate(at), Invitation.objects.chased()
    reasons: list[tuple[InvitationQuerySet, Because]] = [
        (chased.answered(), Because.ANSWERED),
        (chased.moved(on), Because.MOVED),
        (chased.over(on), Because.OVER),
    ]
    return sum(settle(one, because, at) for rows, because in reasons for one in rows)


def remind_due(at: datetime) -> int:
    """Remind whoever was last asked so many days ago and has a reminder left; how many."""
    on = timezone.localdate(at)
    rows = Invitation.objects.to_remind().takes_answers(on).first_of_household().with_household()
    return sum(_remind(one.pk, at) for one in rows if next_on(one) <= on)


def _is_due(invitation: Invitation, on: date) -> bool:
    """Whether that still holds under the lock: another worker may have reminded or settled it since it was listed."""
    left = invitation.wave.reminders - invitation.reminders_sent
    return invitation.is_chased and left > 0 and next_on(invitation) <= on


def next_on(invitation: Invitation) -> date:
    """The first day on which they may hear from us again."""
    last = timezone.localdate(invitation.last_asked_at)
    return last + timedelta(days=invitation.wave.days_between)


@transaction.atomic
def settle(invitation: Invitation, because: str, at: datetime) -> int:
    """Remind them no more, and take back what waits; 1, or 0 where that was so already."""
    now = Invitation.objects.select_for_update().get(pk=invitation.pk)
    if not now.is_chased:
        return 0
    now.settled_at, now.settled_because = at, because
    now.full_clean()
    now.save(update_fields=["settled_at", "settled_because"])
    asking_messages.take_back(now, at)
    return 1


@transaction.atomic
def _remind(invitation_id: int, at: datetime) -> int:
    invitation = Invitation.objects.select_for_update(of=("self",)).with_household().get(pk=invitation_id)
    home = invitation.counted_under
    if not consent.may_ask(home, consent.Purpose.FOLLOW_UP):
        settle(invitation, Because.NOT_TO_ASK, at)
        return 0
    to = invitees.addressee(home, may_call=calling.may_call(home))
    last = asking_messages.last_sent(invitation)
    # Whoever still waits for a call or a letter has not been asked yet.
    if to is None or not _is_due(invitation, timezone.localdate(at)) or (last and last.is_waiting):
        return 0
    if is_unwanted(last) or is_unwanted(asking_messages.remind(invitation, to, at)):
        settle(invitation, Because.NOT_TO_ASK, at)
        return 0
    invitation.reminders_sent += 1
    invitation.last_asked_at = at
    invitation.full_clean()
    invitation.save(update_fields=["reminders_sent", "last_asked_at"])
    return 1
