"""Which household is meant by a row of paperwork: a snapshot for bulk work, made once per file.

A merged record leads to the household it counts under; one that had moved out by the day of the row is
not matched. It only answers; whoever asks decides.
"""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum
from typing import NamedTuple, Self

from outreach.households.models import Household, Participant
from outreach.households.querysets import HouseholdQuerySet
from outreach.households.recording import PersonFacts
from outreach.places.addresses import UNKNOWN_CITY, ReadAddress
from outreach.places.city_names import city_key


class How(StrEnum):
    """By what a household was found."""

    EXACT = "exact"  # street, unit and ZIP (or city)
    STREET = "street"  # street and unit, no city given, and only one such household
    STREET_AND_PERSON = "street_and_person"  # the same street, and someone of that name or e-mail there
    PERSON = "person"  # no address: the only household with that e-mail, phone or name
    AMBIGUOUS = "ambiguous"  # several could be meant: see `candidates`
    UNKNOWN = "unknown"


class Found(NamedTuple):
    """The household that is meant, or the candidates between which a person has to choose."""

    household_id: int | None
    how: How
    candidates: tuple[int, ...] = ()


class KnownHousehold(NamedTuple):
    """A household that stands for itself, as the snapshot keeps it."""

    id: int
    began_on: date
    ended_on: date | None


class At(NamedTuple):
    """One record at a street: its unit and where that is."""

    unit_key: str
    zip_code: str
    city_key: str
    household_id: int


@dataclass
class KnownHouseholds:
    """Everything that is recorded of addresses and people, in memory."""

    _roots: dict[int, KnownHousehold] = field(default_factory=dict)
    _root_of: dict[int, int] = field(default_factory=dict)
    _by_address: dict[tuple[str, str], set[int]] = field(default_factory=lambda: defaultdict(set))
    _by_street: dict[str, set[At]] = field(default_factory=lambda: defaultdict(set))
    _names: dict[int, dict[str, int]] = field(default_factory=lambda: defaultdict(dict))
    _by_name: dict[str, set[int]] = field(default_factory=lambda: defaultdict(set))
    _by_reach: dict[str, set[int]] = field(default_factory=lambda: defaultdict(set))

    @classmethod
    def load(cls) -> Self:
        known = cls()
        households = list(Household.objects.order_by("pk").iterator())
        known._root_of = _roots({household.pk: household.merged_into_id for household in households})
        for household in households:
            known.add_household(household)
        for participant in Participant.objects.order_by("pk").iterator():
            known.add_participant(participant)
        return known

    @classmethod
    def of(cls, households: HouseholdQuerySet) -> Self:
        """The same of a few households, those they count under, and their people."""
        known = cls()
        found = {household.pk: household for household in households}
        roots = {household.counted_under.pk: household.counted_under for household in found.values()}
        known._root_of = {pk: household.counted_under.pk for pk, household in found.items()}
        for household in (roots | found).values():
            known.add_household(household)
        for participant in Participant.objects.filter(household__in=[*roots, *found]).order_by("pk"):
            known.add_participant(participant)
        return known

    def add_household(self, household: Household) -> None:
        """Note a household, also one that is not saved yet but has been given a number."""
        root = self._root_of.setdefault(household.pk, household.pk)
        if root == household.pk:
            self._roots[root] = KnownHousehold(root, household.began_on, household.ended_on)
        self._by_address[(household.address_key, household.unit_key)].add(root)
        place = (household.zip_code, city_key(household.city_name))
        self._by_street[household.street_key].add(At(household.unit_key, *place, root))

    def add_participant(self, participant: Participant) -> None:
        """Note a person of a household that has been noted."""
        root = self.root_of(participant.household_id)
        self._names[root].setdefault(participant.name_key, participant.pk)
        self._by_name[participant.name_key].add(root)
        for reach in filter(None, (participant.email, participant.phone_key)):
            self._by_reach[reach].add(root)

    def root_of(self, household_id: int) -> int:
        """The household under which that record counts."""
        return self._root_of.get(household_id, household_id)

    def participant_named(self, household_id: int, name_key: str) -> int | None:
        """The person of that name in a household or in one merged into it."""
        return self._names[self.root_of(household_id)].get(name_key)

    def households_reached_by(self, person: PersonFacts) -> set[int]:
        """Where someone has that e-mail address or that phone."""
        reaches = filter(None, (person.email, person.phone.phone_key))
        return set().union(*(self._by_reach.get(reach, ()) for reach in reaches))

    def find(self, address: ReadAddress, *, on: date, person: PersonFacts | None = None) -> Found:
        """Say which household a row means that names this address and person on that day.

        Pass the address in the place that the places list says (`address.at(place)`); with neither city
        nor ZIP it is sought by street and unit alone, and the person decides between several.
        """
        if not address.street_key:
            return self._by_person(person, on)
        if self._has_place(address):
            exact = self._one_living(self._by_address.get((address.address_key, address.unit_key), ()), on)
            if exact is not None:
                return Found(exact, How.EXACT)
        there = [at for at in self._by_street.get(address.street_key, ()) if _same_place(at, address)]
        same_unit = self._living((at.household_id for at in there if at.unit_key == address.unit_key), on)
        if same_unit:
            return self._between(same_unit, person)
        unit_missing = (at.household_id for at in there if not (at.unit_key and address.unit_key))
        here = self._with_person(self._living(unit_missing, on), person)
        return Found(here[0], How.STREET_AND_PERSON) if len(here) == 1 else _unknown(here)

    def _by_person(self, person: PersonFacts | None, on: date) -> Found:
        if person is None:
            return _unknown(())
        reached = self._living(self.households_reached_by(person), on)
        found = self._with_name(reached, person) or reached
        found = found or self._living(self._by_name.get(person.name.name_key, ()), on)
        return Found(found[0], How.PERSON) if len(found) == 1 else _unknown(found)

    def _between(self, candidates: list[int], person: PersonFacts | None) -> Found:
        here = self._with_person(candidates, person)
        if len(here) == 1:
            return Found(here[0], How.STREET_AND_PERSON)
        return Found(candidates[0], How.STREET) if len(candidates) == 1 else _unknown(here or candidates)

    def _with_person(self, candidates: list[int], person: PersonFacts | None) -> list[int]:
        if person is None:
            return []
        reached = self.households_reached_by(person)
        by_name = self._with_name(candidates, person)
        return by_name or [candidate for candidate in candidates if candidate in reached]

    def _with_name(self, candidates: list[int], person: PersonFacts) -> list[int]:
        return [one for one in candidates if person.name.name_key in self._names.get(one, ())]

    def _living(self, ids: Iterable[int], on: date) -> list[int]:
        """Those that had not moved out by that day, in the order of their numbers."""
        return sorted({one for one in ids if (ended := self._roots[one].ended_on) is None or on < ended})

    def _one_living(self, ids: Iterable[int], on: date) -> int | None:
        """Of those who lived there one after the other, the first that had not moved out by that day."""
        living = self._living(ids, on)
        return min(living, key=lambda one: (self._roots[one].ended_on or date.max, one), default=None)

    @staticmethod
    def _has_place(address: ReadAddress) -> bool:
        return not address.address_key.endswith(f" {UNKNOWN_CITY}")


def _same_place(at: At, address: ReadAddress) -> bool:
    """Whether a record could be there: the same ZIP or, where one of them has none, the same city."""
    if at.zip_code and address.zip_code:
        return at.zip_code == address.zip_code
    city = city_key(address.city_name)
    return not (at.city_key and city) or at.city_key == city


def _unknown(candidates: Iterable[int]) -> Found:
    several = tuple(candidates)
    return Found(None, How.AMBIGUOUS, several) if several else Found(None, How.UNKNOWN)


def _roots(merged_into: dict[int, int | None]) -> dict[int, int]:
    def root(number: int) -> int:
        above = merged_into.get(number)
        return number if above is None else root(above)

    return {number: root(number) for number in merged_into}
