"""Giving places back: by the household, by the office, or because nobody confirmed."""

from datetime import datetime

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext as _

from outreach.staff.models import StaffMember
from outreach.workshops import followers, moving_up, offering, seats, telling
from outreach.workshops.models import Booking, Registration, Workshop

Because = Booking.Because
State = Registration.State


@transaction.atomic
def give_back(*, booking: Booking, because: str, at: datetime, by: StaffMember | None = None) -> Booking:
    """A booking gives its places back and the next in line is asked; said twice is once."""
    workshop = seats.locked(booking.workshop)
    booking = Booking.objects.with_people().get(pk=booking.pk)
    if not booking.stands:
        return booking
    _refuse_after_arrival(booking)
    leave(booking, because, at)
    telling.given_back(booking, at)
    seats.count(workshop)
    moving_up.move_up(workshop, at)
    return booking


def leave(speaker: Booking | Registration, because: str, at: datetime) -> None:
    """Take a booking, or a person without one, off the list. The workshop is locked; counting is left
    to the caller."""
    offering.withdraw(speaker, at)
    if isinstance(speaker, Registration):
        _off_the_list(speaker)
        return
    for registration in Registration.objects.of_booking(speaker).waiting_or_booked():
        _off_the_list(registration)
    speaker.state, speaker.standby_place = Booking.State.CANCELLED, None
    speaker.cancelled_at, speaker.cancelled_because = at, because
    speaker.full_clean()
    speaker.save(update_fields=["state", "standby_place", "cancelled_at", "cancelled_because"])
    telling.withdraw_for(speaker, at)
    for follower in followers.followers():
        follower.gave_back(speaker, at)


def after_a_person_left(registration: Registration, workshop: Workshop, at: datetime) -> None:
    """The office took one person off the list: whoever signed the others up takes them along."""
    booking = registration.booking
    if booking is None or not booking.stands:
        return
    others = Registration.objects.of_booking(booking).on_the_list()
    if registration.is_lead or not (others.exists() or booking.people_beyond):
        leave(booking, Because.OFFICE, at)
        telling.given_back(booking, at)


def _off_the_list(registration: Registration) -> None:
    registration.state, registration.standby_place = State.CANCELLED, None
    registration.full_clean()
    registration.save(update_fields=["state", "standby_place"])


def _refuse_after_arrival(booking: Booking) -> None:
    if any(one.came for one in booking.registrations.all()):
        raise ValidationError(_("Someone of this booking came to the workshop, so it stays on its list."))
