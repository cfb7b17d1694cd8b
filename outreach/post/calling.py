"""Today's call list: one key each for 'said', 'not reached' and 'wrong number'."""

from collections.abc import Callable
from datetime import datetime, timedelta

from django.db import transaction
from django.utils.translation import gettext_noop

from outreach.post import settling
from outreach.post.models import Message, MessageQuerySet
from outreach.staff.models import StaffMember

State, Channel = Message.State, Message.Channel

# Common practice, no source: four calls at other times of the day, then a letter.
MOST_CALLS = 4
CALL_AGAIN_AFTER = timedelta(hours=3)

NOBODY_ANSWERED = gettext_noop("Nobody answered the phone.")
WRONG_NUMBER = gettext_noop("The phone number was wrong.")


def to_call(at: datetime) -> MessageQuerySet:
    """Who is to be called now: what runs out first, then who has waited longest."""
    return Message.objects.calls().due(at).in_order()


def said(*, message: Message, by: StaffMember, at: datetime) -> Message:
    """Its reader heard it on the phone; what counts from that is set. Said twice is once."""
    still = Message.objects.calls().queued()
    settling.note_told(message=message, still=still, state=State.SAID, at=at, by=by)
    message.refresh_from_db()
    return message


@transaction.atomic
def not_reached(*, message: Message, by: StaffMember, at: datetime) -> Message:
    """Nobody answered: again later, and after so many times a letter where there is an address."""
    message = Message.objects.select_for_update().get(pk=message.pk)
    if not _is_to_call(message):
        return message
    message.attempts += 1
    message.last_error = NOBODY_ANSWERED
    message.next_try_at = at + CALL_AGAIN_AFTER
    if message.attempts >= MOST_CALLS:
        _write_instead(message, NOBODY_ANSWERED, by, at)
    message.full_clean()
    message.save()
    return message


@transaction.atomic
def wrong_number(*, message: Message, by: StaffMember, at: datetime) -> Message:
    """The number is somebody else's: a letter, where there is an address."""
    message = Message.objects.select_for_update().get(pk=message.pk)
    if not _is_to_call(message):
        return message
    message.attempts += 1
    message.recipient_phone = ""
    _write_instead(message, WRONG_NUMBER, by, at)
    message.full_clean()
    message.save()
    return message


OUTCOMES: dict[str, Callable[..., Message]] = {
    "said": said,
    "not_reached": not_reached,
    "wrong_number": wrong_number,
}


def _is_to_call(message: Message) -> bool:
    return message.channel == Channel.CALL and message.state == State.QUEUED


def _write_instead(message: Message, why: str, by: StaffMember, at: datetime) -> None:
    message.last_error = why
    if message.recipient_postal:
        message.channel, message.attempts, message.next_try_at = Channel.LETTER, 0, at
    else:
        message.state, message.settled_at, message.settled_by = State.GIVEN_UP, at, by
