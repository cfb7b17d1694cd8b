"""Whom a message about a workshop goes to, in which language and by which way."""

from collections.abc import Iterator
from dataclasses import dataclass

from django.urls import reverse

from outreach.households.models import Household, Participant
from outreach.post import links
from outreach.post.posting import Addressee
from outreach.workshops.models import Booking, Offer, Registration, Workshop

DEFAULT_LANGUAGE = "en"


@dataclass(frozen=True, slots=True, kw_only=True)
class Recipient:
    """One reader: the key under which their messages are kept apart, the way to them, and their link."""

    key: str
    to: Addressee
    link: str = ""
    people: int = 1
    manages: bool = False


def of_booking(booking: Booking) -> Recipient:
    """Whoever signed up, reached in the way they chose."""
    by = booking.reach_by
    to = Addressee(
        name=booking.typed_name,
        language=booking.language,
        email=booking.email if by == Booking.ReachBy.EMAIL else "",
        phone=booking.phone if by != Booking.ReachBy.LETTER else "",
        postal_lines=postal_lines(booking.household),
        number=booking.lead_id,
    )
    return Recipient(
        key=f"booking:{booking.pk}",
        to=to,
        link=links.public_url(booking_path(booking)),
        people=booking.people,
        manages=True,
    )


def of_person(registration: Registration) -> Recipient:
    """Someone whom the office or a sheet put on the list."""
    return Recipient(
        key=f"registration:{registration.pk}",
        to=addressee_of(registration.participant),
        link=links.public_url(workshop_path(registration.workshop)),
    )


def of_speaker(speaker: Booking | Registration) -> Recipient:
    return of_booking(speaker) if isinstance(speaker, Booking) else of_person(speaker)


def addressee_of(person: Participant) -> Addressee:
    """A person as the record knows how to reach them."""
    return Addressee(
        name=person.full_name,
        language=person.language or person.household.language or DEFAULT_LANGUAGE,
        email=person.email,
        phone=person.phone,
        postal_lines=postal_lines(person.household),
        number=person.pk,
    )


def everyone_on_the_list(workshop: Workshop) -> Iterator[Recipient]:
    """Each booking once, and each person who is on the list without one: booked or standing by."""
    bookings = Booking.objects.at(workshop).standing().with_people()
    yield from map(of_booking, bookings)
    covered = {booking.pk for booking in bookings}
    for registration in Registration.objects.at(workshop).waiting_or_booked().with_people():
        if registration.booking_id not in covered:
            yield of_person(registration)


def postal_lines(household: Household) -> tuple[str, ...]:
    lines = (
        " ".join(filter(None, (household.street, household.unit))),
        " ".join(filter(None, (household.city_name, household.zip_code))),
    )
    return tuple(line for line in lines if line)


def booking_path(booking: Booking) -> str:
    """The page on which a household confirms, changes or gives back; whoever has the link may."""
    return reverse("my_booking", args=[links.make("booking", {"booking": booking.pk})])


def offer_path(offer: Offer) -> str:
    """The page on which an offer is answered; whoever has the link may."""
    return reverse("my_offer", args=[links.make("offer", {"offer": offer.pk})])


def workshop_path(workshop: Workshop) -> str:
    return reverse("public_workshop", args=[workshop.pk])
