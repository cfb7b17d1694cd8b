"""Postcards with a square code, for the silent: whom no e-mail reaches, and whose reminders are used up."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date, datetime

from django.db import transaction
from django.utils import timezone

from outreach.followup import asking_messages, invitation_links, invitees, reminding
from outreach.followup.models import Invitation, Wave
from outreach.households import consent
from outreach.post.models import Message
from outreach.post.posting import Addressee


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    """What one postcard says: to whom, in which languages, until when, under which address."""

    invitation: Invitation
    to: Addressee
    link: str
    until: date
    languages: tuple[str, ...]


def due(wave: Wave, *, on: date, languages: Collection[str]) -> list[Card]:
    """The cards to print for a wave that day; in each of `languages` where a household's is not known."""
    rows = Invitation.objects.of_wave(wave).takes_answers(on).wants_postcard().first_of_household()
    silent = [one for one in rows.exclude_answered().with_household().order_by("pk") if _has_waited(one, on)]
    cards = (_card(one, tuple(languages)) for one in silent)
    return [card for card in cards if card is not None]


def _has_waited(invitation: Invitation, on: date) -> bool:
    """Whoever was mailed or called has had the days between two reminders to answer."""
    was_asked = invitation.channel in (Message.Channel.EMAIL, Message.Channel.LETTER)
    return not was_asked or reminding.next_on(invitation) <= on


def _card(invitation: Invitation, languages: tuple[str, ...]) -> Card | None:
    home = invitation.counted_under
    to = invitees.addressee(home)
    if to is None or not to.postal_lines or not consent.may_ask(home, consent.Purpose.FOLLOW_UP):
        return None
    known = _language_of(invitation, to)
    return Card(
        invitation=invitation,
        to=to,
        link=invitation_links.on_postcard(invitation, known),
        until=invitation.closes_on,
        languages=(known,) if known else languages,
    )


def _language_of(invitation: Invitation, to: Addressee) -> str:
    """Their language where somebody recorded it: the one we write in by default is none they told us."""
    home = invitation.counted_under
    recorded = {person.language for person in home.people} | {home.language}
    return to.language if to.language in recorded else ""


@transaction.atomic
def mailed(*, invitations: Collection[int], at: datetime) -> int:
    """Note that these went into the mail: each counts as a reminder, and a call or mail that waits is taken back.

    How many were noted now.
    """
    on = timezone.localdate(at)
    rows = Invitation.objects.select_for_update().wants_postcard().filter(pk__in=invitations)
    for invitation in rows:
        invitation.postcard_on, invitation.last_asked_at = on, at
        invitation.reminders_sent += 1
        invitation.full_clean()
        invitation.save(update_fields=["postcard_on", "last_asked_at", "reminders_sent"])
        asking_messages.take_back(invitation, at)
    return len(rows)
