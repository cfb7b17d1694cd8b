"""People who walked in: the household and person on record are found, or made, as paperwork finds them.

Several devices may take down the same person. What is on record of a person or household that the Door made
is what the earliest of them says, and what it leaves blank is filled in from the later ones.
"""

from collections.abc import Sequence
from typing import cast

from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _

from outreach.door import arrivals
from outreach.door.models import EventOutcome
from outreach.door.reading import WalkedIn, read
from outreach.door.scenes import Scene, keep, place_on_the_list
from outreach.households.knowing import KnownHouseholds
from outreach.households.models import Household, Participant
from outreach.households.recording import (
    HouseholdFacts,
    PersonFacts,
    add_participant,
    correct_household,
    new_household,
    person_facts,
    record_household,
)
from outreach.places.addresses import ReadAddress, read_address
from outreach.places.serving import PlacesList, ResolvedPlace

KIND = "walked_in"
FILLED = ("full_name", "email", "phone", "language")
Said = dict[str, str]


def settle(scene: Scene, outcome: EventOutcome, fact: WalkedIn) -> None:
    address, place = _address(fact)
    on = scene.workshop.held_on
    household, outcome.made_household = _household(scene, address, place, _person(fact))
    known = Participant.objects.of(household).named(_person(fact).name.name_key).first()
    added = add_participant(household=household, person=_person(fact), first_seen_on=on)
    outcome.participant, outcome.made_person = added.participant, added.is_new
    outcome.filled = [name for name in FILLED if _filled_in(known, added.participant, name)]
    keep(outcome)
    _let_the_earliest_speak(scene, added.participant, outcome)
    arrivals.arrive(scene, outcome, added.participant, place_on_the_list(scene, added.participant))


def _person(fact: WalkedIn) -> PersonFacts:
    return person_facts(fact.name, email=fact.email, phone=fact.phone, language=fact.language)


def _address(fact: WalkedIn) -> tuple[ReadAddress, ResolvedPlace]:
    address = read_address(fact.street, unit=fact.unit, city=fact.city, zip_code=fact.zip_code)
    if address.problem:
        raise ValidationError(address.problem)
    if not _person(fact).name.name_key:
        raise ValidationError(_("The name cannot be read."))
    return address, PlacesList.load().resolve(address.city_name, address.zip_code)


def _household(
    scene: Scene, address: ReadAddress, place: ResolvedPlace, person: PersonFacts
) -> tuple[Household, bool]:
    """Who lives at that address; where it is written less fully than on record, whom it can only mean.

    Households that the Door made are found by the full address alone: whichever of two devices is heard
    first, they come to the same.
    """
    on = scene.workshop.held_on
    meant = new_household(address=address, place=place, began_on=on)
    if not Household.objects.living_at(meant, on).exists():
        found = _known_on(address, scene).find(address.at(place), on=on, person=person).household_id
        if found is not None:
            return Household.objects.get(pk=found), False
    recorded = record_household(address=address, place=place, began_on=on)
    return recorded.household, recorded.is_new


def _known_on(address: ReadAddress, scene: Scene) -> KnownHouseholds:
    """Everyone on record at that house number and street whom this Door did not make."""
    made = (
        EventOutcome.objects.at(scene.workshop).filter(made_household=True).values("participant__household")
    )
    there = Household.objects.filter(street_key=address.street_key).exclude(pk__in=made)
    return KnownHouseholds.of(there)


def _filled_in(known: Participant | None, now: Participant, name: str) -> bool:
    """`known` was read before: what was blank then and is not now was filled in by this event."""
    return bool(getattr(now, name)) and (known is None or not getattr(known, name))


def _let_the_earliest_speak(scene: Scene, person: Participant, new: EventOutcome) -> None:
    told = scene.told_of([person], KIND)
    ours = {name for one in told for name in one.filled}
    now, before = _said(told), _said([one for one in told if one.pk != new.pk])
    # What a person corrected since is not what the Door wrote, and stays.
    changed = {
        name: now[name]
        for name in FILLED
        if name in ours and now[name] and getattr(person, name) in (before[name], _said([new])[name])
    }
    _write_person(person, {name: value for name, value in changed.items() if getattr(person, name) != value})
    _write_household(scene, person.household)


def _said(told: Sequence[EventOutcome]) -> Said:
    """For each field the first that is not blank."""
    facts = [_shown(one) for one in told]
    return {name: next((fact[name] for fact in facts if fact[name]), "") for name in FILLED}


def _shown(outcome: EventOutcome) -> Said:
    person = _person(_fact(outcome))
    return {
        "full_name": person.name.full_name,
        "email": person.email,
        "phone": person.phone.shown,
        "language": person.language,
    }


def _fact(outcome: EventOutcome) -> WalkedIn:
    return cast(WalkedIn, read(outcome.event, outcome.corrections))


def _write_person(person: Participant, changed: Said) -> None:
    if not changed:
        return
    for name, value in changed.items():
        setattr(person, name, value)
    if "phone" in changed:
        person.phone_key = person_facts(person.full_name, phone=changed["phone"]).phone.phone_key
    person.full_clean()
    person.save()


def _write_household(scene: Scene, household: Household) -> None:
    """The address as the earliest of its walk-ins has it; not where a person has corrected it since."""
    told = scene.told_of(Participant.objects.filter(household=household), KIND)
    if not any(one.made_household for one in told):
        return
    written = [_address(_fact(one)) for one in told]
    as_shown = [(address.at(place), place) for address, place in written]
    stands = (household.street, household.unit, household.city_name, household.zip_code)
    if stands not in [_columns(address) for address, _place in as_shown]:
        return
    if stands != _columns(as_shown[0][0]):
        correct_household(
            household=household,
            address=written[0][0],
            place=written[0][1],
            began_on=household.began_on,
            facts=HouseholdFacts(
                district=household.district,
                language=household.language,
                composting_before=household.composting_before,
                note=household.note,
            ),
        )


def _columns(address: ReadAddress) -> tuple[str, str, str, str]:
    return address.street, address.unit, address.city_name, address.zip_code
