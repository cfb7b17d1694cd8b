"""The households and people that rows name: found among those on record, or new ones, written together."""

from collections.abc import Iterable
from datetime import date

from django.utils.translation import gettext as _

from outreach.bins.chunks import in_chunks
from outreach.households.knowing import Found, How, KnownHouseholds
from outreach.households.models import Household, Participant
from outreach.households.recording import PersonFacts, fill_in_blanks, new_household, new_participant
from outreach.intake.many_records import save_all
from outreach.intake.results import Batch, RowResult
from outreach.places.addresses import ReadAddress
from outreach.places.serving import ResolvedPlace

FILLED = ("email", "phone", "phone_key", "language", "note", "first_seen_on")


class PeopleAtHand:
    """One file's people. New ones have numbers below zero until `write` gives them their own."""

    def __init__(self, batch: Batch, known: KnownHouseholds) -> None:
        self._batch, self._known = batch, known
        self._new_households: dict[int, tuple[Household, RowResult]] = {}
        self._new_people: dict[int, tuple[Participant, RowResult]] = {}
        self._seen: dict[int, list[tuple[PersonFacts, date]]] = {}
        self._earliest: dict[int, date] = {}
        self.households: dict[int, Household] = {}
        self.people: dict[int, Participant] = {}

    def find(self, row: RowResult, address: ReadAddress, person: PersonFacts, on: date) -> Found:
        """Which household on record a row means; where several could be, the row goes to review."""
        found = self._known.find(address, on=on, person=person)
        if found.how == How.AMBIGUOUS:
            row.not_read(
                _("Address: several households could be meant. Complete it with unit, city and ZIP.")
            )
        return found

    def household(
        self,
        row: RowResult,
        address: ReadAddress,
        place: ResolvedPlace,
        person: PersonFacts,
        on: date,
    ) -> int | None:
        """The number of the household a row names, a new one where none is on record."""
        found = self.find(row, address, person, on)
        if found.household_id is not None:
            number = found.household_id
            self._earliest[number] = min(on, self._earliest.get(number, on))
            return number
        if found.how == How.AMBIGUOUS:
            return None
        if not address.street_key or address.problem:
            row.not_read(_("Address: no street with a house number could be read. Complete the address."))
            return None
        return self._add_household(row, address, place, on)

    def _add_household(self, row: RowResult, address: ReadAddress, place: ResolvedPlace, on: date) -> int:
        number = -1 - len(self._new_households)
        household = new_household(address=address, place=place, began_on=on)
        household.pk = number
        self._known.add_household(household)
        self._new_households[number] = (household, row)
        return number

    def person(self, row: RowResult, household_number: int, person: PersonFacts, on: date) -> int:
        """The number of a person of a household, a new one where nobody of that name is on record there."""
        number = self._known.participant_named(household_number, person.name.name_key)
        if number is None:
            number = -1 - len(self._new_people)
            household = self._new_households.get(household_number, (Household(pk=household_number), row))[0]
            participant = new_participant(household=household, person=person, first_seen_on=on)
            participant.pk = number
            self._known.add_participant(participant)
            self._new_people[number] = (participant, row)
        else:
            self._seen.setdefault(number, []).append((person, on))
        return number

    def named(self, household_number: int, name_key: str) -> int | None:
        """The number of the person of that name in a household, if there is one."""
        return self._known.participant_named(household_number, name_key)

    def write(self, household_numbers: set[int], person_numbers: set[int]) -> None:
        """Save what is new, complete what was known, and hold ready the records of these numbers."""
        self._write_households(household_numbers)
        self._write_people(person_numbers)

    def _write_households(self, numbers: set[int]) -> None:
        for ids in in_chunks(sorted(number for number in numbers if number > 0)):
            self.households |= Household.objects.in_bulk(list(ids))
        fresh = list(self._new_households.items())
        for number, (household, _row) in fresh:
            household.pk = None
            household.began_on = min(household.began_on, self._earliest.get(number, household.began_on))
        save_all([household for _number, (household, _row) in fresh])
        for number, (household, row) in fresh:
            self.households[number] = household
            row.add(household)
        self._batch.counts["households"] += len(fresh)
        self._date_back()

    def note_composting(self, said: Iterable[tuple[int, str]]) -> None:
        """What rows say of composting before the bin, for households that had not said; the first row stands."""
        told = []
        for number, composting in said:
            household = self.households[number]
            if composting and household.composting_before == Household.Composting.NOT_SAID:
                household.composting_before = composting
                told.append(household)
        Household.objects.bulk_update(told, ["composting_before"], batch_size=500)

    def _date_back(self) -> None:
        """Known since an earlier day than recorded: the earlier day stands."""
        earlier = [
            household
            for number, on in self._earliest.items()
            if number > 0 and (household := self.households.get(number)) and on < household.began_on
        ]
        for household in earlier:
            household.began_on = self._earliest[household.pk]
        Household.objects.bulk_update(earlier, ["began_on"], batch_size=500)

    def _write_people(self, numbers: set[int]) -> None:
        for ids in in_chunks(sorted(number for number in numbers if number > 0)):
            self.people |= Participant.objects.in_bulk(list(ids))
        fresh = list(self._new_people.items())
        for number, (person, _row) in fresh:
            person.pk = None
            person.household = self.households[person.household_id]
            for facts, on in self._seen.get(number, ()):
                fill_in_blanks(person, facts, on)
        save_all([person for _number, (person, _row) in fresh])
        for number, (person, row) in fresh:
            self.people[number] = person
            row.add(person)
        self._batch.counts["people"] += len(fresh)
        self._complete()

    def _complete(self) -> None:
        changed = []
        for number, seen in self._seen.items():
            person = self.people.get(number)
            if number > 0 and person:
                filled = [name for facts, on in seen for name in fill_in_blanks(person, facts, on)]
                changed += [person] if filled else []
        Participant.objects.bulk_update(changed, FILLED, batch_size=200)
