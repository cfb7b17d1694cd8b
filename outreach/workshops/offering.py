"""Places that came free, offered in order to whoever stands by: kept until they answer or time is over."""

from datetime import datetime
from typing import Any

from django.db import transaction

from outreach.workshops import telling
from outreach.workshops.models import Booking, Offer, Registration, Workshop
from outreach.workshops.offer_times import KEPT_FOR, LEAST_NOTICE
from outreach.workshops.parties import Party

Outcome = Offer.Outcome


def offer(*, workshop: Workshop, party: Party, at: datetime) -> Offer | None:
    """Keep places for a party and ask them; none so shortly before the start. The workshop is locked."""
    if at > workshop.begins_at - LEAST_NOTICE:
        return None
    speaker = party.speaker
    to: dict[str, Any] = {"booking": speaker} if isinstance(speaker, Booking) else {"registration": speaker}
    made = Offer(workshop=workshop, places=party.places, made_at=at, **to)
    made.full_clean()
    made.save()
    telling.offer_made(made, at)
    return made


def told(offer_id: int, at: datetime) -> None:
    """The person was told, by mail or on the phone: from now on the time to answer counts."""
    with transaction.atomic():
        made = Offer.objects.select_for_update().get(pk=offer_id)
        if not made.is_open or made.told_at is not None:
            return
        made.told_at, made.until_at = at, max(min(at + KEPT_FOR, made.workshop.begins_at), at)
        made.full_clean()
        made.save(update_fields=["told_at", "until_at"])


def withdraw(speaker: Booking | Registration, at: datetime) -> None:
    """What was offered to them is no longer kept. The workshop is locked."""
    for made in Offer.objects.open().of(speaker):
        end(made, Outcome.WITHDRAWN, at)


def end(made: Offer, outcome: str, at: datetime) -> None:
    """Close an offer. Counting is left to the caller."""
    made.outcome, made.closed_at = outcome, at
    made.full_clean()
    made.save(update_fields=["outcome", "closed_at"])
