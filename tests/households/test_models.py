"""Each rule that the database holds for households, broken through the ORM, with its sentence."""

import datetime

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction

from outreach.households.models import DuplicateRuling, Household, HouseholdMerge, Participant
from tests.factories.households import make_household, make_participant

pytestmark = pytest.mark.django_db
NOON = datetime.datetime(2025, 5, 9, 12, tzinfo=datetime.UTC)


def refused(record, sentence):
    """Both nets hold: validation says the sentence, and the database refuses the row."""
    with pytest.raises(ValidationError) as told:
        record.full_clean()
    assert sentence in " ".join(told.value.messages)
    with pytest.raises(IntegrityError), transaction.atomic():
        record.save()


def another(household, **differences):
    same = {name: getattr(household, name) for name in ("street", "street_key", "address_key", "unit_key")}
    return Household(**same | {"began_on": datetime.date(2025, 1, 1)} | differences)


def merged(kept, absorbed, by, **differences):
    fields = {"kept": kept, "absorbed": absorbed, "reason": "one door", "merged_at": NOON, "merged_by": by}
    return HouseholdMerge(**fields | {"what_was_set": {"households": {}}} | differences)


def test_one_household_at_an_address_and_unit():
    refused(another(make_household()), "A household at this address and unit is already recorded.")


def test_those_who_moved_out_or_were_merged_leave_room():
    gone = make_household(ended_on=datetime.date(2025, 1, 1), bin_after_move="unknown")
    merged_one = make_household(merged_into=make_household())

    another(gone).save()
    another(merged_one).save()


def test_another_unit_is_another_household():
    another(make_household(unit_key="4"), unit_key="5").save()


def test_a_household_does_not_move_out_before_it_was_known():
    household = another(make_household(), unit_key="9", ended_on=datetime.date(2024, 1, 1))
    household.bin_after_move = "unknown"

    refused(household, "A household cannot move out before it was known.")


def test_moving_out_says_what_became_of_the_bin():
    household = another(make_household(), unit_key="9", ended_on=datetime.date(2025, 2, 1))

    refused(household, "Say what became of the bin when they moved out.")


def test_a_household_is_not_merged_into_itself():
    household = make_household()
    household.merged_into = household

    refused(household, "A household cannot be merged into itself.")


def test_a_name_stands_once_in_a_household():
    known = make_participant(full_name="Ada Ueda")
    again = Participant(
        household=known.household,
        full_name="ADA UEDA",
        name_key="ADA UEDA",
        first_seen_on=datetime.date(2025, 1, 1),
    )

    refused(again, "Someone of this name is already recorded in the household.")


def test_a_person_is_not_linked_to_themselves():
    person = make_participant()
    person.same_person_as = person

    refused(person, "A person cannot be linked to themselves.")


def test_a_merge_has_two_households(coordinator):
    household = make_household()

    refused(merged(household, household, coordinator), "Choose two different households to merge.")


def test_a_household_is_absorbed_once_at_a_time(coordinator):
    kept, absorbed = make_household(), make_household()
    merged(kept, absorbed, coordinator, undone_at=NOON, undone_by=coordinator).save()
    merged(kept, absorbed, coordinator).save()

    refused(merged(kept, absorbed, coordinator), "This household is already merged into another.")


def test_an_undone_merge_says_who_undid_it(coordinator):
    refused(
        merged(make_household(), make_household(), coordinator, undone_at=NOON), "Say who undid the merge."
    )


def test_a_pair_is_ruled_on_once(coordinator):
    pair = {"kind": "household", "left_id_number": 1, "right_id_number": 2, "ruled_at": NOON}
    DuplicateRuling.objects.create(ruled_by=coordinator, **pair)

    refused(DuplicateRuling(ruled_by=coordinator, **pair), "Someone has already ruled on this pair.")


@pytest.mark.parametrize("right", [1, 2])
def test_a_pair_is_two_records_the_earlier_first(coordinator, right):
    ruling = DuplicateRuling(
        kind="household", left_id_number=2, right_id_number=right, ruled_at=NOON, ruled_by=coordinator
    )

    refused(ruling, "A pair is two different records, the earlier first.")
