"""Putting messages into the outbox, taking them out again, and forgetting whom they went to."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import datetime

from django.core.exceptions import ValidationError
from django.core.validators import validate_email
from django.db import IntegrityError, transaction

from outreach.post import kinds as known_kinds
from outreach.post import settling, texts, unsubscribing
from outreach.post.models import Message, MessageQuerySet, Unsubscribed

Channel, State = Message.Channel, Message.State


@dataclass(frozen=True, slots=True, kw_only=True)
class Addressee:
    """Whom a message goes to, in words; `number` is theirs in the records above, opaque here."""

    name: str
    language: str
    email: str = ""
    phone: str = ""
    postal_lines: tuple[str, ...] = ()
    number: int | None = None


def post(  # noqa: PLR0913  # what one message is; every caller names them
    *,
    kind: str,
    to: Addressee,
    values: Mapping[str, str],
    dedupe_key: str,
    at: datetime,
    not_before: datetime | None = None,
    useless_after: datetime | None = None,
    about_url: str = "",
) -> Message:
    """Queue a message; the same `dedupe_key` again gives the one that is there, unchanged.

    Whoever has no e-mail address is called, and whoever has no phone either gets a letter. With none of
    them, and for a reminder that its reader does not want, the row says so and is settled at once.

    Raises
    ------
    UnknownKind, ValuesMissing
        If nobody registered the kind, or a name of its sample has no value: faults of the caller.
    """
    known = Message.objects.keyed(dedupe_key)
    if known is not None:
        return known
    message = _written(kind, to, values)
    message.dedupe_key, message.about_url = dedupe_key, about_url
    message.not_before, message.useless_after = not_before, useless_after
    message.queued_at, message.next_try_at = at, max(at, not_before or at)
    _settle_at_once(message, at)
    message.full_clean(validate_unique=False)
    try:
        with transaction.atomic():
            message.save()
    except IntegrityError:
        # Another process queued it in the same moment.
        return Message.objects.get(dedupe_key=dedupe_key)
    return message


def _written(key: str, to: Addressee, values: Mapping[str, str]) -> Message:
    """The message in words, and by which way it goes."""
    kind = known_kinds.kind_of(key)
    texts.refuse_missing(kind, values)
    language = kind.language_for(to.language)
    wording = texts.current(kind, language)
    filled = texts.filled(wording.text, values)
    message = Message(
        kind=key,
        language=language,
        text_version=wording.version,
        recipient_name=" ".join(to.name.split())[:200],
        recipient_email=_usable(to.email),
        recipient_phone=to.phone.strip()[:40],
        recipient_postal="\n".join(line for line in to.postal_lines if line.strip()),
        recipient_number=to.number,
        subject=filled.subject,
        body=filled.body,
    )
    message.channel = message.ways()[0]
    return message


def _usable(email: str) -> str:
    """The address, or nothing where it is none: then its reader is called."""
    try:
        validate_email(email)
    except ValidationError:
        return ""
    return email


def _settle_at_once(message: Message, at: datetime) -> None:
    why = ""
    if known_kinds.is_reminder(message.kind) and unsubscribing.wants_no_reminders(message):
        message.state, why = State.WITHDRAWN, settling.UNWANTED
    elif message.channel == Channel.NONE:
        message.state, why = State.GIVEN_UP, settling.NO_WAY
    if why:
        message.last_error, message.settled_at = why, at


def withdraw(*, dedupe_prefix: str, at: datetime) -> int:
    """Take back what has not been sent of a group of messages; return how many."""
    return settling.withdraw_all(Message.objects.in_group(dedupe_prefix), at=at)


def withdraw_kinds(*, kinds: Collection[str], numbers: Collection[int], at: datetime) -> int:
    """Take back what has not been sent of some kinds to some people; return how many."""
    theirs = Message.objects.of_kinds(kinds).to_people(numbers)
    return settling.withdraw_all(theirs, at=at, why=settling.NOT_ASKED)


@transaction.atomic
def forget(*, number: int, at: datetime) -> int:
    """Empty everything that says who a person is in the messages to them; return how many."""
    theirs = Message.objects.to_person(number)
    addresses = set(theirs.values_list("recipient_email", flat=True))
    keys = [unsubscribing.key_of(address) for address in addresses if address]
    Unsubscribed.objects.of(address_keys=keys, number=number).delete()
    return _empty(theirs, at)


@transaction.atomic
def forget_addresses(*, emails: Collection[str], at: datetime) -> int:
    """The same for messages that went to an address before anybody knew whose it was."""
    keys = [unsubscribing.key_of(email) for email in emails]
    Unsubscribed.objects.of(address_keys=keys, number=None).delete()
    return sum(_empty(Message.objects.to_address(email), at) for email in emails)


def _empty(theirs: MessageQuerySet, at: datetime) -> int:
    settling.withdraw_all(theirs, at=at)
    return theirs.update(
        recipient_name="",
        recipient_email="",
        recipient_phone="",
        recipient_postal="",
        subject="",
        body="",
        about_url="",
        last_error="",
    )
