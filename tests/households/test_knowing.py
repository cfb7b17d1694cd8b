"""Which household a row of paperwork means."""

import datetime

import pytest

from outreach.households.knowing import How, KnownHouseholds
from outreach.households.recording import new_household, person_facts
from outreach.places.addresses import read_address
from outreach.places.serving import ResolvedPlace
from tests.factories.households import make_household, make_participant

pytestmark = pytest.mark.django_db
MAY = datetime.date(2025, 5, 9)
NOBODY = ResolvedPlace()


def placed(zip_code="00418", city="Millrace"):
    return ResolvedPlace(city_name=city, zip_code=zip_code, understood=True)


def live_at(text, place=None, began_on=datetime.date(2024, 1, 1), **differences):
    household = new_household(address=read_address(text), place=place or placed(), began_on=began_on)
    for name, value in differences.items():
        setattr(household, name, value)
    household.save()
    return household


def find(text, place=None, on=MAY, **person):
    address = read_address(text).at(place or placed())
    facts = person_facts(person.pop("name", ""), **person) if person else None
    return KnownHouseholds.load().find(address, on=on, person=facts)


def test_the_same_address_in_another_spelling_is_exact():
    household = live_at("206 Marsh St #4")

    assert find("206 MARSH STREET APT 4") == (household.pk, How.EXACT, ())


def test_another_zip_or_unit_is_another_household():
    live_at("206 Marsh St #4")

    assert find("206 Marsh St #4", placed("00421", "Osprey Landing")).how == How.UNKNOWN
    assert find("206 Marsh St #5").how == How.UNKNOWN


def test_without_a_city_the_only_such_street_and_unit_is_meant():
    household = live_at("206 Marsh St")

    assert find("206 Marsh St.", NOBODY) == (household.pk, How.STREET, ())


def test_without_a_city_the_person_decides_between_two():
    here, there = live_at("206 Marsh St"), live_at("206 Marsh St", placed("00421", "Osprey Landing"))
    make_participant(household=there, name_key="ADA UEDA")

    assert find("206 Marsh St", NOBODY, name="Ueda, Ada") == (there.pk, How.STREET_AND_PERSON, ())
    assert find("206 Marsh St", NOBODY, name="Bo Tran") == (None, How.AMBIGUOUS, (here.pk, there.pk))


def test_an_email_decides_as_a_name_does():
    live_at("206 Marsh St")
    there = live_at("206 Marsh St", placed("00421", "Osprey Landing"))
    make_participant(household=there, email="ada@example.org")

    assert find("206 Marsh St", NOBODY, name="A.", email="ADA@example.org").household_id == there.pk


def test_a_unit_that_was_left_out_is_found_by_the_person():
    household = live_at("206 Marsh St #4")
    make_participant(household=household, name_key="ADA UEDA")

    assert find("206 Marsh St", name="Ada Ueda") == (household.pk, How.STREET_AND_PERSON, ())
    assert find("206 Marsh St", name="Bo Tran").how == How.UNKNOWN
    assert find("206 Marsh St #5", name="Ada Ueda").how == How.UNKNOWN


def test_without_an_address_the_only_one_reached_so_is_meant():
    household = live_at("206 Marsh St")
    make_participant(household=household, name_key="ADA UEDA", phone_key="5035550101")

    assert find("", name="Ada Ueda") == (household.pk, How.PERSON, ())
    assert find("", name="A", phone="(503) 555-0101").household_id == household.pk
    assert find("", name="Bo Tran").how == How.UNKNOWN


def test_a_merged_record_leads_to_the_household_it_counts_under():
    root, middle = live_at("1 Alder St"), live_at("2 Alder St")
    leaf = live_at("3 Alder St", merged_into=middle)
    middle.merged_into = root
    middle.save()
    make_participant(household=leaf, name_key="ADA UEDA")
    known = KnownHouseholds.load()

    assert find("3 Alder Street").household_id == root.pk
    assert known.root_of(leaf.pk) == root.pk
    assert known.participant_named(root.pk, "ADA UEDA") is not None


def test_those_who_moved_out_are_meant_only_by_earlier_days():
    first = live_at("206 Marsh St", ended_on=datetime.date(2025, 6, 1), bin_after_move="unknown")
    second = live_at("206 Marsh St", began_on=datetime.date(2025, 6, 1))

    assert find("206 Marsh St", on=MAY).household_id == first.pk
    assert find("206 Marsh St", on=datetime.date(2025, 6, 1)).household_id == second.pk


def test_after_everyone_moved_out_nobody_is_meant():
    live_at("206 Marsh St", ended_on=datetime.date(2025, 5, 1), bin_after_move="unknown")

    assert find("206 Marsh St", on=MAY).how == How.UNKNOWN
    assert find("206 Marsh St", NOBODY, on=MAY).how == How.UNKNOWN


def test_a_record_without_zip_meets_the_same_city():
    household = live_at("206 Marsh St", placed("", "Millrace"))

    assert find("206 Marsh St").household_id == household.pk
    assert find("206 Marsh St", placed("00421", "Osprey Landing")).how == How.UNKNOWN


def test_what_is_added_on_the_way_is_known_at_once():
    known = KnownHouseholds.load()
    household = new_household(address=read_address("9 New St"), place=placed(), began_on=MAY)
    household.pk = -1

    known.add_household(household)

    assert known.find(read_address("9 New Street").at(placed()), on=MAY).household_id == -1


@pytest.mark.parametrize("rows", [2, 40])
def test_the_snapshot_takes_two_queries_whatever_its_size(django_assert_num_queries, rows):
    for _ in range(rows):
        make_participant(household=make_household())

    with django_assert_num_queries(2):
        KnownHouseholds.load()
