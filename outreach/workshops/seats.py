"""Places at a workshop: who holds one, who stands by, and whether any are left.

All of it is called with the workshop locked. Places that are offered are taken until the offer is over.
"""

from datetime import datetime

from django.db.models import F, Max

from outreach.workshops import followers, parties
from outreach.workshops.models import Booking, Registration, Workshop
from outreach.workshops.parties import Party


def locked(workshop: Workshop) -> Workshop:
    """The workshop as it is now, held against everyone else until the transaction ends."""
    return Workshop.objects.select_for_update().get(pk=workshop.pk)


def count(workshop: Workshop) -> None:
    """Write down how many seats are taken; the database refuses more than there are."""
    workshop.booked_people = taken(workshop)
    workshop.full_clean()
    workshop.save(update_fields=["booked_people"])


def taken(workshop: Workshop) -> int:
    """Seats of people who hold a place, of those they bring along, and those that are offered."""
    return Workshop.objects.with_seated().values_list("seated", flat=True).get(pk=workshop.pk)  # type: ignore[misc]


def are_free(workshop: Workshop, places: int = 1) -> bool:
    """So many places are left, and nobody waits whom they would do."""
    room = workshop.seats - workshop.booked_people
    return places <= room and not any(party.places <= room for party in parties.waiting(workshop))


def next_standby_place(workshop: Workshop) -> int:
    """Behind everyone who waits; bookings and single people stand in one line."""
    lines = (Registration.objects.at(workshop).on_standby(), Booking.objects.at(workshop).on_standby())
    return max(line.aggregate(last=Max("standby_place"))["last"] or 0 for line in lines) + 1


def give(party: Party, at: datetime) -> None:
    """Book the people of a party; whoever counts afterwards sees whether there is room."""
    for registration in party.registrations:
        registration.state, registration.standby_place = Registration.State.BOOKED, None
        registration.full_clean()
        registration.save(update_fields=["state", "standby_place"])
    if party.booking is not None:
        party.booking.state, party.booking.standby_place = Booking.State.BOOKED, None
        party.booking.full_clean()
        party.booking.save(update_fields=["state", "standby_place"])


def announce(party: Party, at: datetime) -> None:
    """Tell the higher apps of a booking that holds its places by now."""
    if party.booking is not None:
        announce_booking(party.booking, at)


def announce_booking(booking: Booking, at: datetime) -> None:
    if booking.state == Booking.State.BOOKED:
        for follower in followers.followers():
            follower.seated(booking, at)


def differing() -> list[str]:
    """Workshops whose number of people booked is not what their lists give."""
    return [
        f"Workshop {pk} says {said} people hold a place; its list gives {counted}."
        for pk, said, counted in Workshop.objects.order_by("pk")
        .with_seated()
        .exclude(booked_people=F("seated"))  # type: ignore[misc]
        .values_list("pk", "booked_people", "seated")
    ]


def rebuild_all() -> None:
    """Count every workshop's people again."""
    Workshop.objects.recount()
