"""What a sign-up said becomes part of the record once the person came: until then anyone may have typed it."""

from datetime import datetime

from django.utils import timezone

from outreach.households import consent
from outreach.households.models import Household
from outreach.households.recording import fill_in_blanks, person_facts
from outreach.workshops import offering
from outreach.workshops.models import Booking, Registration

NOT_SAID = Household.Composting.NOT_SAID


def arrived(registration: Registration, at: datetime) -> None:
    """Somebody of a booking is here: their consent counts. With whoever signed the others up, the booking is taken
    up, and what was blank in the record is filled in."""
    booking = registration.booking
    if booking is None:
        return
    consent.note_arrival(household=registration.household, is_given=booking.consents_to_follow_up, at=at)
    if not registration.is_lead:
        return
    if booking.state == Booking.State.STANDBY:
        offering.withdraw(booking, at)
        booking.state, booking.standby_place = Booking.State.BOOKED, None
        booking.full_clean()
        booking.save(update_fields=["state", "standby_place"])
    _fill_in_the_person(registration, booking, at)
    _fill_in_the_household(booking)


def _fill_in_the_person(registration: Registration, booking: Booking, at: datetime) -> None:
    person = registration.participant
    facts = person_facts(
        person.full_name, email=booking.email, phone=booking.phone, language=booking.language
    )
    changed = fill_in_blanks(person, facts, timezone.localdate(at))
    if changed:
        person.full_clean()
        person.save(update_fields=changed)


def _fill_in_the_household(booking: Booking) -> None:
    household = booking.counted_under
    said = {"language": booking.language}
    changed = [name for name, value in said.items() if value and not getattr(household, name)]
    if household.composting_before == NOT_SAID and booking.composting_before != NOT_SAID:
        said["composting_before"] = booking.composting_before
        changed.append("composting_before")
    for name in changed:
        setattr(household, name, said[name])
    if changed:
        household.save(update_fields=changed)
