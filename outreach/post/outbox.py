"""What the office does to a single message: try again, in the same or another way, or leave it."""

from collections.abc import Callable
from datetime import datetime

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext as _

from outreach.post.models import Message
from outreach.staff.models import StaffMember

State, Channel = Message.State, Message.Channel


def try_again(*, message: Message, by: StaffMember, at: datetime) -> Message:
    """Queue it anew, now and with all its tries before it: what was given up, put off or left."""
    return _queue(message, at)


def call_instead(*, message: Message, by: StaffMember, at: datetime) -> Message:
    """Put it on the call list."""
    return _queue(message, at, Channel.CALL)


def write_instead(*, message: Message, by: StaffMember, at: datetime) -> Message:
    """Put it among the letters."""
    return _queue(message, at, Channel.LETTER)


@transaction.atomic
def leave(*, message: Message, by: StaffMember, at: datetime) -> Message:
    """Nothing more is done about it: it is not sent, or need not be told any more.

    Raises
    ------
    ValidationError
        If its reader was told, or it is being sent at this moment.
    """
    message = _locked(message, at)
    message.state, message.settled_at, message.settled_by = State.WITHDRAWN, at, by
    message.lease_until_at = None
    message.full_clean()
    message.save()
    return message


STEPS: dict[str, Callable[..., Message]] = {
    "again": try_again,
    "call": call_instead,
    "write": write_instead,
    "leave": leave,
}


@transaction.atomic
def _queue(message: Message, at: datetime, channel: Message.Channel | None = None) -> Message:
    message = _locked(message, at)
    if not message.body:
        raise ValidationError(
            _("What it said was removed at the person's request. It cannot be sent any more.")
        )
    if message.is_useless(at):
        raise ValidationError(_("Its time is over. Tell its reader in another way what they should know."))
    message.channel = channel or message.channel
    if message.channel == Channel.NONE:
        message.channel = message.ways()[0]
    message.state, message.settled_at, message.settled_by = State.QUEUED, None, None
    message.attempts, message.next_try_at, message.lease_until_at = 0, at, None
    message.full_clean()
    message.save()
    return message


def _locked(message: Message, at: datetime) -> Message:
    message = Message.objects.select_for_update().get(pk=message.pk)
    if message.was_told:
        raise ValidationError(_("Its reader was told already."))
    if message.lease_until_at is not None and message.lease_until_at >= at:
        raise ValidationError(_("It is being sent at this moment. Look again in a few minutes."))
    return message
