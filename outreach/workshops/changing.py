"""What a household changes of its own booking, by the link it was sent."""

from collections.abc import Mapping
from datetime import datetime

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext as _

from outreach.workshops import moving_up, offering, seats
from outreach.workshops.models import Booking, Registration, Workshop

# What may be changed beside the number of people.
CHANGEABLE = ("email", "phone", "reach_by", "language", "needs", "wants_bin", "consents_to_follow_up")


def told(booking_id: int, at: datetime) -> None:
    """The confirmation reached them, by mail or on the phone; said twice, the first counts."""
    Booking.objects.numbered(booking_id).not_told().update(told_at=at)


@transaction.atomic
def confirm(*, booking: Booking, at: datetime) -> Booking:
    """They say that they come; said twice is once."""
    seats.locked(booking.workshop)
    booking = Booking.objects.get(pk=booking.pk)
    _refuse_given_back(booking)
    if booking.confirmed_at is None:
        booking.confirmed_at = at
        booking.full_clean()
        booking.save(update_fields=["confirmed_at"])
    return booking


@transaction.atomic
def change(*, booking: Booking, people: int, said: Mapping[str, object], at: datetime) -> Booking:
    """Write down what they changed. More people need free places; fewer give places to the next in line."""
    workshop = seats.locked(booking.workshop)
    booking = Booking.objects.with_people().get(pk=booking.pk)
    _refuse_given_back(booking)
    if not workshop.takes_sign_ups(at) and people > booking.people:
        raise ValidationError({"people": _("Sign-up is closed, so no further people can be added.")})
    _bring(workshop, booking, people, at)
    for name in CHANGEABLE:
        setattr(booking, name, said[name])
    booking.full_clean()
    booking.save(update_fields=[*CHANGEABLE, "people_beyond"])
    seats.count(workshop)
    moving_up.move_up(workshop, at)
    seats.announce_booking(booking, at)
    return booking


def _bring(workshop: Workshop, booking: Booking, people: int, at: datetime) -> None:
    """So many people in all: further ones are not named, and of those named the last stay at home."""
    more = people - booking.people
    if more == 0:
        return
    if booking.state == Booking.State.BOOKED and more > workshop.seats - workshop.booked_people:
        raise ValidationError({"people": _too_many(workshop, booking)})
    offering.withdraw(booking, at)
    booking.people_beyond += more
    named = [one for one in booking.registrations.all() if one.state in ("booked", "standby")]
    leave_out = sorted(named, key=lambda one: (not one.is_lead, one.pk))[1:]
    while booking.people_beyond < 0 and leave_out:
        _leave_out(leave_out.pop())
        booking.people_beyond += 1


def _too_many(workshop: Workshop, booking: Booking) -> str:
    left = workshop.seats_left
    if not left:
        return _("All places are taken, so no further people can be added.")
    words = _("Only %(left)d more can be added: %(most)d people in all.")
    return words % {"left": left, "most": booking.people + left}


def _leave_out(registration: Registration) -> None:
    registration.state, registration.standby_place = Registration.State.CANCELLED, None
    registration.full_clean()
    registration.save(update_fields=["state", "standby_place"])


def _refuse_given_back(booking: Booking) -> None:
    if not booking.stands:
        raise ValidationError(_("This booking was given back. Sign up again if you like."), code="gone")
