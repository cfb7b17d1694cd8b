"""What is due by itself: offers that run out, places not confirmed, reminders, what starts. Safe to run
again at any moment: each step looks at what is there, and messages carry a key of their own."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db import transaction
from django.utils import timezone

from outreach.workshops import (
    answering_offers,
    followers,
    giving_back,
    moving_up,
    recipients,
    seats,
    telling,
    trying,
)
from outreach.workshops.models import Booking, Registration, Workshop

# Common practice, no source: a reminder two days before, a word three days before places are given back.
REMIND_BEFORE = timedelta(days=2)
ASK_BEFORE = timedelta(days=3)
# Whoever was told late has at least a day to confirm.
LEAST_TIME_TO_CONFIRM = timedelta(days=1)
# A workshop whose list nobody closed is looked at so long after its day.
LOOKED_AT_AFTER = timedelta(days=2)


@dataclass(slots=True)
class Done:
    """How often each thing was done in one run."""

    offers_over: int = 0
    given_back: int = 0
    moved_up: int = 0


def settle_due(at: datetime) -> Done:
    """Do what is due for every workshop that is not over, each in a transaction of its own."""
    done = Done()
    today = timezone.localdate(at)
    for workshop in Workshop.objects.coming(today - LOOKED_AT_AFTER).not_closed():
        if workshop.state == Workshop.State.PLANNED:
            done.offers_over += answering_offers.expire_at(workshop, at)
            done.given_back += _give_back_unconfirmed(workshop, at)
            done.moved_up += _move_up(workshop, at)
            _ask_to_confirm(workshop, at)
            _remind(workshop, at)
        if at >= workshop.begins_at and workshop.starts_at is not None:
            _start(workshop, at)
    trying.forget_old(at)
    return done


def _give_back_unconfirmed(workshop: Workshop, at: datetime) -> int:
    if workshop.confirm_by_on is None or timezone.localdate(at) <= workshop.confirm_by_on:
        return 0
    late = Booking.objects.at(workshop).booked().told_and_not_confirmed()
    over = [one for one in late if one.told_at is not None and one.told_at + LEAST_TIME_TO_CONFIRM <= at]
    for booking in over:
        giving_back.give_back(booking=booking, because=Booking.Because.NOT_CONFIRMED, at=at)
    return len(over)


@transaction.atomic
def _move_up(workshop: Workshop, at: datetime) -> int:
    return len(moving_up.move_up(seats.locked(workshop), at))


@transaction.atomic
def _ask_to_confirm(workshop: Workshop, at: datetime) -> None:
    by = workshop.confirm_by_on
    if by is None or not by - ASK_BEFORE <= timezone.localdate(at) <= by:
        return
    for booking in Booking.objects.at(workshop).booked().not_confirmed().with_people():
        telling.please_confirm(booking, at)


@transaction.atomic
def _remind(workshop: Workshop, at: datetime) -> None:
    if not workshop.begins_at - REMIND_BEFORE <= at < workshop.begins_at:
        return
    bookings = Booking.objects.at(workshop).booked().with_people()
    covered = {booking.pk for booking in bookings}
    for booking in bookings:
        telling.reminder(recipients.of_booking(booking), workshop, at)
    for registration in Registration.objects.at(workshop).booked().with_people():
        if registration.booking_id not in covered:
            telling.reminder(recipients.of_person(registration), workshop, at)


@transaction.atomic
def _start(workshop: Workshop, at: datetime) -> None:
    workshop = seats.locked(workshop)
    for follower in followers.followers():
        follower.started(workshop, at)
