"""What becomes of an offer: taken, declined, or over; the office may also book who stands by."""

from datetime import datetime

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext as _

from outreach.staff.models import StaffMember
from outreach.workshops import giving_back, moving_up, offering, seats, telling
from outreach.workshops.holding import refuse_if_settled
from outreach.workshops.models import Booking, Offer, Registration, Workshop
from outreach.workshops.parties import party_of

Outcome = Offer.Outcome


@transaction.atomic
def accept(*, offer: Offer, at: datetime, by: StaffMember | None = None) -> Offer:
    """They take the places."""
    workshop, offer = _locked(offer)
    if offer.outcome == Outcome.ACCEPTED:
        return offer
    _refuse_unless_open(offer, at)
    offering.end(offer, Outcome.ACCEPTED, at)
    party = party_of(_speaker(offer))
    seats.give(party, at)
    if party.booking is not None and party.booking.confirmed_at is None:
        party.booking.confirmed_at = at
        party.booking.save(update_fields=["confirmed_at"])
    seats.count(workshop)
    seats.announce(party, at)
    return offer


@transaction.atomic
def decline(*, offer: Offer, at: datetime, by: StaffMember | None = None) -> Offer:
    """They do not want the places, which go to the next in line."""
    workshop, offer = _locked(offer)
    if offer.outcome == Outcome.DECLINED:
        return offer
    _refuse_unless_open(offer, at)
    _leave(workshop, offer, Outcome.DECLINED, at)
    return offer


@transaction.atomic
def expire_at(workshop: Workshop, at: datetime) -> int:
    """End what was not taken in time; the places go to the next in line. Return how many ended."""
    workshop = seats.locked(workshop)
    over = list(Offer.objects.at(workshop).run_out(at).with_people())
    for made in over:
        _leave(workshop, made, Outcome.EXPIRED, at)
    return len(over)


@transaction.atomic
def give_directly(*, speaker: Booking | Registration, at: datetime, by: StaffMember) -> None:
    """The office books a party that stands by, asked or not; refused where there are too few places."""
    workshop = seats.locked(speaker.workshop)
    refuse_if_settled(workshop)
    speaker.refresh_from_db()
    if speaker.state != Registration.State.STANDBY:
        raise ValidationError(_("These people are not on standby any more."))
    for made in Offer.objects.at(workshop).open().of(speaker):
        offering.end(made, Outcome.ACCEPTED, at)
    party = party_of(speaker)
    seats.give(party, at)
    seats.count(workshop)
    seats.announce(party, at)


def book_from_standby(*, registration: Registration, at: datetime, by: StaffMember) -> Registration:
    """The office books a person on standby, and whoever stands by with them."""
    booking = registration.booking
    together = booking if booking is not None and booking.state == Booking.State.STANDBY else registration
    give_directly(speaker=together, at=at, by=by)
    return Registration.objects.with_people().get(pk=registration.pk)


def _leave(workshop: Workshop, made: Offer, outcome: str, at: datetime) -> None:
    offering.end(made, outcome, at)
    because = {
        Outcome.DECLINED: Booking.Because.OFFER_DECLINED,
        Outcome.EXPIRED: Booking.Because.OFFER_LAPSED,
    }[Outcome(outcome)]
    giving_back.leave(_speaker(made), because, at)
    if outcome == Outcome.EXPIRED:
        telling.offer_expired(made, at)
    seats.count(workshop)
    moving_up.move_up(workshop, at)


def _speaker(made: Offer) -> Booking | Registration:
    speaker = made.booking or made.registration
    if speaker is None:
        raise ValueError(f"Offer {made.pk} is made to nobody.")
    return speaker


def _locked(made: Offer) -> tuple[Workshop, Offer]:
    workshop = seats.locked(made.workshop)
    return workshop, Offer.objects.with_people().get(pk=made.pk)


def _refuse_unless_open(made: Offer, at: datetime) -> None:
    is_over = made.until_at is not None and at >= made.until_at
    if not made.is_open or is_over or made.workshop.is_settled:
        raise ValidationError(_("This offer is over, and the place went to the next in line."), code="over")
