"""No more reminders: said by whoever has the link of one, for its address and for the person it went to."""

from datetime import datetime
from typing import Any

from django.db import transaction
from django.urls import reverse
from django.utils.crypto import salted_hmac

from outreach.post import kinds, links, settling
from outreach.post.models import Message, Unsubscribed

PURPOSE = "unsubscribe"


def key_of(email: str) -> str:
    """An address as a digest under the secret key: enough to know it again, not to find it out."""
    if not email:
        return ""
    return salted_hmac("outreach.post.unsubscribed", email.strip().casefold(), algorithm="sha256").hexdigest()


def path_of(message: Message) -> str:
    """The page on which the reader of this message says that they want no more of them."""
    payload = {"key": key_of(message.recipient_email), "number": message.recipient_number}
    return reverse("unsubscribe", args=[links.make(PURPOSE, payload)])


def wants_no_reminders(message: Message) -> bool:
    """Whether its reader, or whoever reads that address, has said so."""
    known = Unsubscribed.objects.of(
        address_keys=[key_of(message.recipient_email)], number=message.recipient_number
    )
    return known.exists()


@transaction.atomic
def unsubscribe(*, who: dict[str, Any], at: datetime) -> int:
    """No more reminders to this address and person, what waits included; said twice is once."""
    key, number = who.get("key", ""), who.get("number")
    if key:
        Unsubscribed.objects.get_or_create(address_key=key, defaults={"unsubscribed_at": at})
    if number is not None:
        Unsubscribed.objects.get_or_create(recipient_number=number, defaults={"unsubscribed_at": at})
    waiting = Message.objects.queued().of_kinds(kinds.reminder_keys())
    unwanted = [one.pk for one in waiting if (key and key_of(one.recipient_email) == key)]
    if number is not None:
        unwanted += [one.pk for one in waiting if one.recipient_number == number]
    return settling.withdraw_all(Message.objects.numbered(unwanted), at=at, why=settling.UNWANTED)


def subscribe_again(*, who: dict[str, Any]) -> None:
    """Reminders may come again, from the next one on."""
    Unsubscribed.objects.of(address_keys=[who.get("key", "")], number=who.get("number")).delete()
