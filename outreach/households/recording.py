"""Recording and correcting households and the people in them.

One household at an address and unit at a time: recording it again gives the one that is there, also when
two people do so in the same moment.
"""

from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction
from django.utils.translation import gettext as _

from outreach.households.emails import read_email
from outreach.households.models import Household, Participant
from outreach.households.names import PersonName, read_name
from outreach.households.phones import NO_PHONE, ReadPhone, read_phone
from outreach.places.addresses import ReadAddress
from outreach.places.models import District
from outreach.places.serving import ResolvedPlace


@dataclass(frozen=True, slots=True, kw_only=True)
class HouseholdFacts:
    """What is known of a household beside where it lives."""

    district: District | None = None
    language: str = ""
    composting_before: str = Household.Composting.NOT_SAID
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PersonFacts:
    """What is known of a person: a name, and how to reach them."""

    name: PersonName
    email: str = ""
    phone: ReadPhone = NO_PHONE
    language: str = ""
    note: str = ""


class RecordedHousehold(NamedTuple):
    """The household, and whether it was new."""

    household: Household
    is_new: bool


class RecordedParticipant(NamedTuple):
    """The person, and whether they were new to the household."""

    participant: Participant
    is_new: bool


NOTHING_MORE = HouseholdFacts()


def person_facts(
    name: object, *, email: object = "", phone: object = "", language: str = "", note: str = ""
) -> PersonFacts:
    """Read a name, an e-mail address and a phone as written."""
    return PersonFacts(
        name=read_name(name), email=read_email(email), phone=read_phone(phone), language=language, note=note
    )


def new_household(
    *, address: ReadAddress, place: ResolvedPlace, began_on: date, facts: HouseholdFacts = NOTHING_MORE
) -> Household:
    """A household filled in but not saved, for those who write many at once."""
    household = Household(began_on=began_on)
    return _with_facts(_at_address(household, address, place), facts)


def new_participant(*, household: Household, person: PersonFacts, first_seen_on: date) -> Participant:
    """A person filled in but not saved, for those who write many at once."""
    return _with_person(Participant(household=household, first_seen_on=first_seen_on), person)


def record_household(
    *, address: ReadAddress, place: ResolvedPlace, began_on: date, facts: HouseholdFacts = NOTHING_MORE
) -> RecordedHousehold:
    """Record who lives at an address from a day on, or give the household that is already recorded there.

    An address whose record was merged into another leads to that other. Known since an earlier day than
    recorded: the earlier day stands.
    """
    _refuse_what_is_no_address(address)
    household = new_household(address=address, place=place, began_on=began_on, facts=facts)
    try:
        with transaction.atomic():
            existing = _who_lives_there(household, began_on)
            if existing is not None:
                return RecordedHousehold(_known_since(existing, began_on), False)
            household.full_clean()
            household.save()
            return RecordedHousehold(household, True)
    except (IntegrityError, ValidationError):
        # Another person may have recorded it between our look and our write.
        there = Household.objects.living_at(household, began_on).first()
        if there is None:
            raise
        return RecordedHousehold(there.counted_under, False)


@transaction.atomic
def correct_household(
    *, household: Household, address: ReadAddress, place: ResolvedPlace, began_on: date, facts: HouseholdFacts
) -> Household:
    """Correct where a household lives and what is known of it; who lives there stays the same."""
    _refuse_what_is_no_address(address)
    household = Household.objects.select_for_update().get(pk=household.pk)
    household.began_on = began_on
    _with_facts(_at_address(household, address, place), facts)
    household.full_clean()
    household.save()
    return household


@transaction.atomic
def add_participant(*, household: Household, person: PersonFacts, first_seen_on: date) -> RecordedParticipant:
    """Add a person to a household; one of the same name there is the same person, and gains what was
    not yet known of them."""
    Household.objects.select_for_update().get(pk=household.pk)
    known = Participant.objects.of(household).named(person.name.name_key).first()
    if known is None:
        participant = new_participant(household=household, person=person, first_seen_on=first_seen_on)
        participant.full_clean()
        participant.save()
        return RecordedParticipant(participant, True)
    if fill_in_blanks(known, person, first_seen_on):
        known.full_clean()
        known.save()
    return RecordedParticipant(known, False)


@transaction.atomic
def correct_participant(*, participant: Participant, person: PersonFacts, first_seen_on: date) -> Participant:
    """Correct a person's name and how to reach them."""
    participant = Participant.objects.select_for_update().get(pk=participant.pk)
    participant.first_seen_on = first_seen_on
    _with_person(participant, person)
    participant.full_clean()
    participant.save()
    return participant


def fill_in_blanks(participant: Participant, person: PersonFacts, first_seen_on: date) -> list[str]:
    """Set, without saving, what was not known of a person; return the names of the fields."""
    found = {
        "email": person.email,
        "phone": person.phone.shown,
        "phone_key": person.phone.phone_key,
        "language": person.language,
        "note": person.note,
    }
    changed = [name for name, value in found.items() if value and not getattr(participant, name)]
    for name in changed:
        setattr(participant, name, found[name])
    if first_seen_on < participant.first_seen_on:
        participant.first_seen_on = first_seen_on
        changed.append("first_seen_on")
    return changed


def _refuse_what_is_no_address(address: ReadAddress) -> None:
    if address.problem or not address.street_key:
        raise ValidationError({"street": address.problem or _("No street address was given.")})


def _who_lives_there(household: Household, on: date) -> Household | None:
    there = Household.objects.living_at(household, on).select_for_update(of=("self",)).first()
    return there.counted_under if there else None


def _known_since(household: Household, on: date) -> Household:
    if on < household.began_on:
        household.began_on = on
        household.save(update_fields=["began_on"])
    return household


def _at_address(household: Household, address: ReadAddress, place: ResolvedPlace) -> Household:
    placed = address.at(place)
    household.street, household.unit = placed.street, placed.unit
    household.city_name, household.zip_code = placed.city_name, placed.zip_code
    household.address_key = placed.address_key
    household.street_key, household.unit_key = placed.street_key, placed.unit_key
    household.jurisdiction_id = place.jurisdiction_id
    return household


def _with_facts(household: Household, facts: HouseholdFacts) -> Household:
    household.district = facts.district
    household.language = facts.language
    household.composting_before = facts.composting_before
    household.note = facts.note
    return household


def _with_person(participant: Participant, person: PersonFacts) -> Participant:
    participant.full_name, participant.name_key = person.name
    participant.email = person.email
    participant.phone, participant.phone_key = person.phone
    participant.language, participant.note = person.language, person.note
    return participant
