"""Two bookings of one household for one workshop become one; the places that were counted twice are given back."""

from datetime import datetime

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext as _

from outreach.staff.models import StaffMember
from outreach.workshops import giving_back, moving_up, seats, signing_up
from outreach.workshops.models import Booking, Registration, Workshop


@transaction.atomic
def join(*, kept: Booking, other: Booking, people: int, by: StaffMember, at: datetime) -> Booking:
    """Let `kept` stand for both, for so many people in all: whoever was named in either stays named."""
    workshop = seats.locked(kept.workshop)
    kept, other = (Booking.objects.with_people().get(pk=one.pk) for one in (kept, other))
    _refuse_what_cannot_join(kept, other)
    moved = [one for one in other.registrations.all() if one.state in ("booked", "standby")]
    giving_back.leave(other, Booking.Because.JOINED, at)
    other.joined_into = kept
    other.full_clean()
    other.save(update_fields=["joined_into"])
    for registration in moved:
        signing_up.put(kept, registration.participant, at, _standby_place(kept, workshop))
    _bring(kept, people)
    seats.count(workshop)
    seats.announce_booking(kept, at)
    moving_up.move_up(workshop, at)
    return kept


def _standby_place(kept: Booking, workshop: Workshop) -> int | None:
    return seats.next_standby_place(workshop) if kept.state == Booking.State.STANDBY else None


def _bring(kept: Booking, people: int) -> None:
    named = Registration.objects.of_booking(kept).on_the_list().count()
    if people < named:
        words = _("%(count)d people are named in the two bookings. Take someone off the list first.")
        raise ValidationError({"people": words % {"count": named}})
    kept.people_beyond = people - named
    kept.full_clean()
    kept.save(update_fields=["people_beyond"])


def _refuse_what_cannot_join(kept: Booking, other: Booking) -> None:
    if kept.pk == other.pk or kept.workshop_id != other.workshop_id:
        raise ValidationError(_("Choose two bookings of one workshop."))
    if kept.counted_under_id != other.counted_under_id:
        raise ValidationError(_("These are bookings of two households. Merge the households first."))
    if not (kept.stands and other.stands):
        raise ValidationError(_("One of the bookings was given back, so there is nothing to join."))
    if any(one.came for one in other.registrations.all()):
        raise ValidationError(_("Someone of the second booking already came. Keep that one."))
