"""Messages about workshops: put into the outbox with the change they tell of, once each."""

from datetime import datetime, timedelta

from django.urls import reverse
from django.utils import translation

from outreach.households.models import Participant
from outreach.post import links, posting
from outreach.workshops import followers, recipients, sayings
from outreach.workshops.models import Booking, Offer, Registration, Workshop
from outreach.workshops.recipients import Recipient

# A thank-you that comes weeks later is not sent any more. Common practice, no source.
THANKS_WITHIN = timedelta(days=14)


def confirmation(booking: Booking, at: datetime) -> None:
    """What was signed up for, and the link under which it is confirmed, changed or given back."""
    to = recipients.of_booking(booking)
    with translation.override(to.to.language):
        more = {
            "standing": sayings.standing(booking),
            "to_do": sayings.to_do(booking),
            "bin": sayings.bin_sentence(booking),
        }
    _post("confirmation", to, booking.workshop, at, more)


def already_known(booking: Booking, at: datetime) -> None:
    """Tell those on record at the address that someone signed up from it; nothing that was typed is said."""
    typed = {booking.email, booking.phone} - {""}
    people = Participant.objects.of(booking.counted_under).select_related("household")
    for person in people:
        if not (person.email or person.phone) or {person.email, person.phone} & typed:
            continue
        to = Recipient(
            key=f"known:{booking.workshop_id}:{person.pk}",
            to=recipients.addressee_of(person),
            link=links.public_url(recipients.workshop_path(booking.workshop)),
        )
        with translation.override(to.to.language):
            said = [f.remark(booking.counted_under, booking.workshop) for f in followers.followers()]
        _post("already_known", to, booking.workshop, at, {"remark": " ".join(filter(None, said))})


def please_confirm(booking: Booking, at: datetime) -> None:
    to = recipients.of_booking(booking)
    _post(
        "please_confirm",
        to,
        booking.workshop,
        at,
        _until(booking.workshop, to),
        about=str(booking.workshop.revision),
    )


def reminder(to: Recipient, workshop: Workshop, at: datetime) -> None:
    _post("reminder", to, workshop, at, about=str(workshop.revision))


def offer_made(offer: Offer, at: datetime) -> None:
    """The places wait; how long is counted from when this is sent or said."""
    to = recipients.of_speaker(offer.booking or offer.registration)  # type: ignore[arg-type]
    link = links.public_url(recipients.offer_path(offer))
    with translation.override(to.to.language):
        more = {"places": sayings.places(offer.places), "hours_kept": sayings.OFFER_HOURS, "link": link}
    _post("offer", to, offer.workshop, at, more, about=str(offer.pk))


def offer_expired(offer: Offer, at: datetime) -> None:
    to = recipients.of_speaker(offer.booking or offer.registration)  # type: ignore[arg-type]
    link = links.public_url(recipients.workshop_path(offer.workshop))
    _post("offer_expired", to, offer.workshop, at, {"link": link}, about=str(offer.pk))


def given_back(booking: Booking, at: datetime) -> None:
    """The booking is off the list: by themselves, by the office, or because nobody confirmed."""
    to = recipients.of_booking(booking)
    with translation.override(to.to.language):
        more = {
            "why": sayings.given_back_because(booking.cancelled_because),
            "link": links.public_url(recipients.workshop_path(booking.workshop)),
        }
    _post("given_back", to, booking.workshop, at, more, about=f"{at:%Y%m%d%H%M%S}")


def called_off(workshop: Workshop, at: datetime) -> None:
    for to in recipients.everyone_on_the_list(workshop):
        _withdraw_reminders(to, at)
        with translation.override(to.to.language):
            more = {
                "link": links.public_url(reverse("public_workshops")),
            }
        _post("cancellation", to, workshop, at, more, about=f"{at:%Y%m%d%H%M%S}")


def postponed(workshop: Workshop, at: datetime) -> None:
    """The new day, hour or place; a place is kept until the household says no."""
    for to in recipients.everyone_on_the_list(workshop):
        _withdraw_reminders(to, at)
        with translation.override(to.to.language):
            more = {"before": sayings.was_to_be(workshop)}
        _post("postponed", to, workshop, at, more, about=str(workshop.revision))


def thanks(workshop: Workshop, at: datetime) -> None:
    """To whoever signed up and came."""
    if at > workshop.begins_at + THANKS_WITHIN:
        return
    came = set(Registration.objects.at(workshop).who_came().values_list("booking", flat=True))
    for booking in Booking.objects.at(workshop).standing().with_people():
        if booking.pk in came:
            _post("thanks", recipients.of_booking(booking), workshop, at)


def withdraw_for(booking: Booking, at: datetime) -> None:
    """What is not sent yet is no longer wanted."""
    posting.withdraw(dedupe_prefix=f"booking:{booking.pk}:", at=at)


def _withdraw_reminders(to: Recipient, at: datetime) -> None:
    for kind in ("reminder", "please_confirm"):
        posting.withdraw(dedupe_prefix=f"{to.key}:{kind}", at=at)


def _until(workshop: Workshop, to: Recipient) -> dict[str, str]:
    with translation.override(to.to.language):
        return {"confirm_by": sayings.day(workshop.confirm_by_on) if workshop.confirm_by_on else ""}


def _post(
    kind: str,
    to: Recipient,
    workshop: Workshop,
    at: datetime,
    more: dict[str, str] | None = None,
    *,
    about: str = "",
) -> None:
    with translation.override(to.to.language):
        values = {**sayings.facts_of(workshop), "people": sayings.people(to.people), "link": to.link}
    posting.post(
        kind=f"workshops.{kind}",
        to=to.to,
        values={"name": to.to.name, **values, **(more or {})},
        dedupe_key=":".join(filter(None, (to.key, kind, about))),
        at=at,
        useless_after=None if kind == "thanks" else workshop.begins_at,
        about_url=reverse("workshop", args=[workshop.pk]),
    )
