"""People typed in at the door or the desk: their household and record are found, or made, as they are read."""

from dataclasses import dataclass
from datetime import datetime

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from outreach.households.models import Participant
from outreach.households.recording import add_participant, person_facts, record_household
from outreach.places.addresses import read_address
from outreach.places.serving import PlacesList
from outreach.staff.models import StaffMember
from outreach.workshops import registering
from outreach.workshops.models import Registration, Workshop


@dataclass(frozen=True, slots=True, kw_only=True)
class TypedPerson:
    """A name and an address as someone typed them, and how to reach the person where they said."""

    full_name: str
    street: str
    unit: str = ""
    city: str = ""
    zip_code: str = ""
    email: str = ""
    phone: str = ""


@transaction.atomic
def record_person(*, typed: TypedPerson, by: StaffMember, at: datetime) -> Participant:
    """The person of that name at that address; household and person are recorded where they are new."""
    person = person_facts(typed.full_name, email=typed.email, phone=typed.phone)
    address = read_address(typed.street, unit=typed.unit, city=typed.city, zip_code=typed.zip_code)
    problems = {}
    if not person.name.name_key:
        problems["full_name"] = _("Give the name of the person.")
    if address.problem:
        problems["street"] = address.problem
    if problems:
        raise ValidationError(problems)
    place = PlacesList.load().resolve(address.city_name, address.zip_code)
    today = timezone.localdate(at)
    household = record_household(address=address, place=place, began_on=today).household
    return add_participant(household=household, person=person, first_seen_on=today).participant


@transaction.atomic
def book_typed(*, workshop: Workshop, typed: TypedPerson, by: StaffMember, at: datetime) -> Registration:
    """Record the person and give them a place, or a place on standby."""
    person = record_person(typed=typed, by=by, at=at)
    return registering.register(workshop=workshop, participant=person, at=at, by=by)


@transaction.atomic
def walk_in_typed(*, workshop: Workshop, typed: TypedPerson, by: StaffMember, at: datetime) -> Registration:
    """Record the person and that they came without a place."""
    person = record_person(typed=typed, by=by, at=at)
    return registering.walk_in(workshop=workshop, participant=person, at=at, by=by)
