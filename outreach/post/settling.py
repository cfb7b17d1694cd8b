"""How a message ends: told, given up or withdrawn; and what follows from having been told."""

import logging
from datetime import datetime

from django.db import transaction
from django.utils.translation import gettext_noop

from outreach.post import kinds
from outreach.post.models import Message, MessageQuerySet
from outreach.staff.models import StaffMember

log = logging.getLogger(__name__)
State = Message.State

# Kept in the row in English and translated where they are shown.
NO_WAY = gettext_noop("There is no e-mail address, no phone and no postal address on record.")
UNWANTED = gettext_noop("Its reader wants no reminders.")
NOT_ASKED = gettext_noop("Its reader does not want to be asked.")
TOO_LATE = gettext_noop("Its time was over before its reader was told.")


def note_told(
    *, message: Message, still: MessageQuerySet, state: State, at: datetime, by: StaffMember | None = None
) -> bool:
    """It was sent, said or printed, if it is `still` among those; then whatever counts from that is set."""
    noted = still.numbered([message.pk]).update(
        state=state, settled_at=at, settled_by=by, lease_until_at=None, last_error=""
    )
    if noted:
        message.refresh_from_db()
        follow_up(message)
    return bool(noted)


def follow_up(message: Message) -> None:
    """Let the kind know that its message was told, once: an offer's expiry counts from then.

    A fault in it is logged and never undoes that the message was told; the next run tries again.
    """
    try:
        with transaction.atomic():
            first = Message.objects.numbered([message.pk]).to_follow_up().update(is_followed_up=True)
            when_told = kinds.when_told_of(message.kind)
            if first and when_told is not None and message.settled_at is not None:
                when_told(message, message.settled_at)
    except Exception:
        log.exception(
            "What follows from message %s (%s) failed; it is tried again.", message.pk, message.kind
        )


def follow_up_all() -> None:
    """Make up for whatever a crash or a fault left out."""
    for message in Message.objects.to_follow_up():
        follow_up(message)


def withdraw_all(messages: MessageQuerySet, *, at: datetime, why: str = "") -> int:
    """What waits among these is no longer wanted; return how many."""
    return messages.queued().update(state=State.WITHDRAWN, settled_at=at, lease_until_at=None, last_error=why)


def lay_aside_useless(at: datetime) -> int:
    """Nobody is told any more what is over. What somebody should have been told shows as given up."""
    ended = {"settled_at": at, "lease_until_at": None, "last_error": TOO_LATE}
    late = Message.objects.no_longer_of_use(at)
    reminders = late.of_kinds(kinds.reminder_keys()).update(state=State.WITHDRAWN, **ended)
    return reminders + late.update(state=State.GIVEN_UP, **ended)
