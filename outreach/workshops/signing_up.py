"""A household signs up for a workshop, without an account.

Whoever fills the form in may be anybody, so it answers the same whether or not the household, or one of
the people, is on record: a person who is on the list already takes a seat again, until someone in the
office joins the two bookings. What is typed changes nothing that is on record until the person comes: until then
the contact stays with the booking, so that what we write to a household reaches nobody who merely named its address.
"""

import uuid
from dataclasses import dataclass
from datetime import date, datetime

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from outreach.households import consent
from outreach.households.models import Household, Participant
from outreach.households.recording import add_participant, person_facts, record_household
from outreach.places.addresses import ReadAddress
from outreach.places.serving import ResolvedPlace
from outreach.workshops import registering, seats, telling
from outreach.workshops.models import Booking, Registration, Workshop

State = Booking.State


@dataclass(frozen=True, slots=True, kw_only=True)
class SignUp:
    """What a household said: who comes (the one who signs up first), from where, and the rest by field."""

    form_key: uuid.UUID
    address: ReadAddress
    place: ResolvedPlace
    names: tuple[str, ...]
    people: int
    # Fields of the booking, by name: contact, language, needs, home, habits, consent, how they heard.
    said: dict[str, object]


@transaction.atomic
def sign_up(*, workshop: Workshop, asked: SignUp, at: datetime) -> Booking:
    """Book places, or places on standby, and tell the household; the same form sent twice is one booking."""
    workshop = seats.locked(workshop)
    known = Booking.objects.by_form(asked.form_key)
    if known is not None:
        return known
    _refuse_unless_open(workshop, asked, at)
    today = timezone.localdate(at)
    recorded = record_household(address=asked.address, place=asked.place, began_on=today)
    people = _people(recorded.household, asked, today)
    booking = _booked(workshop, recorded.household, people, asked, at)
    if recorded.is_new:
        is_given = bool(asked.said.get("consents_to_follow_up"))
        consent.note_sign_up(household=recorded.household, is_given=is_given, at=at)
    seats.count(workshop)
    seats.announce_booking(booking, at)
    telling.confirmation(booking, at)
    if not recorded.is_new:
        telling.already_known(booking, at)
    return booking


def _refuse_unless_open(workshop: Workshop, asked: SignUp, at: datetime) -> None:
    if not workshop.takes_sign_ups(at):
        raise ValidationError(_("Sign-up for this workshop is closed."), code="closed")
    if asked.people > workshop.seats:
        raise ValidationError({"people": _("That is more people than this workshop has places.")})


def _people(household: Household, asked: SignUp, today: date) -> list[Participant]:
    """Everyone named, each once, the one who signs up first."""
    lead, *others = asked.names
    found = [_person(household, lead, today, language=str(asked.said["language"]))]
    for name in others:
        person = _person(household, name, today)
        if person not in found:
            found.append(person)
    return found


def _person(household: Household, name: str, today: date, *, language: str = "") -> Participant:
    """Someone on record stays as recorded; someone new is recorded without the contact they gave."""
    facts = person_facts(name, language=language)
    known = Participant.objects.of(household).named(facts.name.name_key).first()
    return known or add_participant(household=household, person=facts, first_seen_on=today).participant


def _booked(
    workshop: Workshop, household: Household, people: list[Participant], asked: SignUp, at: datetime
) -> Booking:
    fits = seats.are_free(workshop, asked.people)
    place = None if fits else seats.next_standby_place(workshop)
    fresh = [person for person in people if not _is_on_the_list(workshop, person)]
    booking = Booking(
        form_key=asked.form_key,
        workshop=workshop,
        household=household,
        counted_under=household.counted_under,
        lead=people[0],
        typed_name=asked.names[0],
        is_outside_area=asked.place.understood and asked.place.jurisdiction_id is None,
        state=State.BOOKED if fits else State.STANDBY,
        standby_place=place,
        people_beyond=asked.people - len(fresh),
        made_at=at,
        confirmed_at=at if _confirms_by_signing_up(workshop, at) else None,
        **asked.said,
    )
    booking.full_clean()
    booking.save()
    for number, person in enumerate(fresh):
        put(booking, person, at, None if place is None else place + number)
    return booking


def put(booking: Booking, person: Participant, at: datetime, standby_place: int | None) -> Registration:
    """A line of the roster for one person of a booking. The workshop is locked; counting is the caller's."""
    registration = registering.place_of(booking.workshop, person, at)
    registration.booking, registration.state = booking, booking.state
    registration.standby_place = standby_place
    registration.full_clean()
    registration.save()
    return registration


def _is_on_the_list(workshop: Workshop, person: Participant) -> bool:
    return Registration.objects.at(workshop).of_person(person).on_the_list().exists()


def _confirms_by_signing_up(workshop: Workshop, at: datetime) -> bool:
    """On the last day for confirming, or later, signing up is saying that they come."""
    return workshop.confirm_by_on is not None and timezone.localdate(at) >= workshop.confirm_by_on
