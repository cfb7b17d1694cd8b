"""Sending what is due by e-mail: claimed, sent, noted; safe to run twice at once and after a crash.

A mail is claimed by compare-and-set on its number of attempts, and held for a while. Whoever is killed between
sending and noting it leaves it held; when the hold has run out the next run sends it again under the same
Message-ID, so that a mailbox shows it once.
"""

import logging
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from django.conf import settings
from django.core.mail import get_connection
from django.core.mail.backends.base import BaseEmailBackend
from django.utils import timezone
from django.utils.translation import gettext as _

from outreach.post import mails, refusals, settling
from outreach.post.models import Message
from outreach.post.refusals import Refusal

log = logging.getLogger(__name__)
State = Message.State

# A mail wants some round trips, each of which may take `EMAIL_TIMEOUT`.
LEASE = timedelta(minutes=5)
# Common practice, no source: soon at first, then longer and longer, about two days in all.
WAITS = (
    timedelta(minutes=1),
    timedelta(minutes=5),
    timedelta(minutes=15),
    timedelta(hours=1),
    timedelta(hours=4),
    timedelta(hours=12),
    timedelta(hours=24),
)
MOST_ATTEMPTS = len(WAITS) + 1
LOOKED_AT_ONCE = 20
ROUND, IN_ONE_ROUND, ROUND_EVERY = "mail", 50, timedelta(seconds=15)
Clock = Callable[[], datetime]


@dataclass(slots=True)
class Done:
    """What one run did, and why it ended early, if it did."""

    sent: int = 0
    put_off: int = 0
    given_up: int = 0
    stopped_because: str = ""

    @property
    def all(self) -> int:
        return self.sent + self.put_off + self.given_up


def has_server() -> bool:
    """Whether the settings name a mail server."""
    return bool(settings.EMAIL_HOST)


def round_of_mail(at: datetime) -> None:
    """What the worker does every so often: a handful of mails, and what is over laid aside."""
    settling.lay_aside_useless(at)
    settling.follow_up_all()
    if has_server():
        send_due(most=IN_ONE_ROUND)


def send_due(*, clock: Clock = timezone.now, lease: timedelta = LEASE, most: int | None = None) -> Done:
    """Send every mail whose time has come; what cannot be sent now waits, and is given up in the end."""
    settling.lay_aside_useless(clock())
    settling.follow_up_all()
    run = Run(clock=clock)
    try:
        while not run.done.stopped_because and (most is None or run.done.all < most):
            message = claim(at=clock(), lease=lease)
            if message is None:
                break
            run.send(message)
    finally:
        run.connection.close()
    return run.done


def claim(*, at: datetime, lease: timedelta = LEASE) -> Message | None:
    """Take up the mail that is to go first, unless another process has; None when there is none."""
    for message in Message.objects.mails().due(at).in_order()[:LOOKED_AT_ONCE]:
        taken = (
            Message.objects.due(at)
            .tried(message)
            .update(state=State.LEASED, attempts=message.attempts + 1, lease_until_at=at + lease)
        )
        if taken:
            message.refresh_from_db()
            return message
    return None


@dataclass(slots=True)
class Run:
    """One run of sending, with its connection to the mail server."""

    clock: Clock
    connection: BaseEmailBackend = field(default_factory=get_connection)
    done: Done = field(default_factory=Done)

    def send(self, message: Message) -> None:
        """Send one claimed mail, and write down what came of it."""
        if message.attempts > MOST_ATTEMPTS:
            # Whoever tried it last was killed each time.
            self._give_up(message, _("The machine stopped each time while sending this."))
            return
        if not self._connected(message):
            return
        try:
            self.connection.send_messages([mails.mail(message)])
        except refusals.KINDS as error:
            self.connection.close()  # it may be in the middle of something
            self._put_off(message, refusals.read(error))
            return
        self._sent(message)

    def _connected(self, message: Message) -> bool:
        try:
            self.connection.open()
        except refusals.KINDS as error:
            refusal = refusals.read(error)
            self._put_off(message, refusal._replace(is_final=False))
            # The others are spared a try: the server, not the mail, is at fault.
            self.done.stopped_because = refusal.words
            return False
        return True

    def _sent(self, message: Message) -> None:
        # Withdrawn meanwhile or not: it went out, and the row says so.
        still = Message.objects.tried(message).not_told()
        settling.note_told(message=message, still=still, state=State.SENT, at=self.clock())
        self.done.sent += 1

    def _put_off(self, message: Message, refusal: Refusal) -> None:
        if refusal.is_final or message.attempts >= MOST_ATTEMPTS:
            self._give_up(message, refusal.words)
            return
        at = self.clock()
        Message.objects.held(message).update(
            state=State.QUEUED,
            next_try_at=at + WAITS[message.attempts - 1],
            lease_until_at=None,
            last_error=refusal.words,
        )
        log.info("Message %s is put off: %s", message.pk, refusal.words)
        self.done.put_off += 1

    def _give_up(self, message: Message, why: str) -> None:
        Message.objects.held(message).update(
            state=State.GIVEN_UP, settled_at=self.clock(), lease_until_at=None, last_error=why
        )
        log.warning("Message %s is given up: %s", message.pk, why)
        self.done.given_up += 1
