"""What looks like one household or one person is proposed to a person, and never merged alone."""

import datetime

import pytest
from django.core.exceptions import ValidationError

from outreach.households import duplicates
from outreach.households.duplicates import Kind, Reason
from outreach.households.models import Household
from tests.factories.households import make_household, make_participant

pytestmark = pytest.mark.django_db
NOON = datetime.datetime(2025, 5, 9, 12, tzinfo=datetime.UTC)


def home(street_key, unit_key="", zip_code="00418", **differences):
    keys = {"street_key": street_key, "unit_key": unit_key, "zip_code": zip_code}
    return make_household(address_key=f"{street_key} {zip_code}", **keys, **differences)


def found():
    return [((pair.left_id, pair.right_id), pair.reasons) for pair in duplicates.likely_households()]


def people_found():
    return [((pair.left_id, pair.right_id), pair.reasons) for pair in duplicates.likely_people()]


@pytest.mark.parametrize(
    ("reach", "reason"),
    [({"email": "a@example.org"}, Reason.EMAIL), ({"phone_key": "5035550101"}, Reason.PHONE)],
)
def test_the_same_email_or_phone_in_two_households(reach, reason):
    first, second = make_participant(**reach), make_participant(**reach)

    assert found() == [((first.household_id, second.household_id), (reason,))]
    assert people_found() == [((first.pk, second.pk), (reason,))]
    assert Household.objects.roots().count() == 2


def test_a_couple_that_shares_an_email_is_one_household_but_may_be_one_person():
    first = make_participant(email="a@example.org")
    second = make_participant(email="a@example.org", household=first.household)

    assert found() == []
    assert people_found() == [((first.pk, second.pk), (Reason.EMAIL,))]


def test_nearly_the_same_street_with_the_same_name():
    first, second = home("206 MARSH ST"), home("206 MARCH ST")
    other = home("206 MARSH AVE", zip_code="00421")
    for household in (first, second, other):
        make_participant(household=household, name_key="ADA UEDA")

    assert found() == [((first.pk, second.pk), (Reason.NAME_NEAR_STREET,))]


def test_a_near_street_with_another_name_or_a_far_street_with_the_same_is_nothing():
    make_participant(household=home("206 MARSH ST"), name_key="ADA UEDA")
    make_participant(household=home("206 MARCH ST"), name_key="BO TRAN")
    make_participant(household=home("9 KESTREL CT"), name_key="ADA UEDA")

    assert found() == []


def test_two_units_of_one_house_are_not_duplicates():
    for unit in ("4", "5"):
        make_participant(household=home("206 MARSH ST", unit), name_key="ADA UEDA")

    assert found() == []


def test_the_same_street_where_one_record_has_no_zip():
    first, second = home("206 MARSH ST"), home("206 MARSH ST", zip_code="")

    assert found() == [((first.pk, second.pk), (Reason.SAME_STREET,))]


def test_who_moved_out_before_the_others_came_is_no_duplicate_household_but_may_be_the_same_person():
    first = make_household(ended_on=datetime.date(2025, 3, 1), bin_after_move="came_along")
    second = make_household(began_on=datetime.date(2025, 3, 1))
    for household in (first, second):
        make_participant(household=household, email="a@example.org")

    assert found() == []
    assert len(people_found()) == 1


def test_merged_and_linked_records_are_settled():
    first, second = make_participant(email="a@example.org"), make_participant(email="a@example.org")
    second.household.merged_into = first.household
    second.household.save()
    second.same_person_as = first
    second.save()

    assert found() == []
    assert people_found() == []


def test_a_number_that_many_share_proposes_nobody():
    for _ in range(duplicates.MOST_WHO_SHARE + 1):
        make_participant(phone_key="5035550100")

    assert found() == []


def test_that_two_are_different_is_remembered(coordinator):
    first, second = make_participant(email="a@example.org"), make_participant(email="a@example.org")
    pair = {"left_id": second.household_id, "right_id": first.household_id}

    duplicates.rule_different(kind=Kind.HOUSEHOLD, by=coordinator, at=NOON, **pair)

    assert found() == []
    assert len(people_found()) == 1
    with pytest.raises(ValidationError, match="already ruled on this pair"):
        duplicates.rule_different(kind=Kind.HOUSEHOLD, by=coordinator, at=NOON, **pair)


def test_the_pairs_of_one_household_are_those_it_is_in():
    first, second = make_participant(email="a@example.org"), make_participant(email="a@example.org")
    apart = make_household()

    assert len(duplicates.pairs_of(first.household)) == 1
    assert duplicates.pairs_of(apart) == []
    assert duplicates.households_concerned() == {first.household_id, second.household_id}


@pytest.mark.parametrize("rows", [3, 60])
def test_looking_for_duplicates_takes_three_queries_whatever_the_number(django_assert_num_queries, rows):
    for number in range(rows):
        make_participant(email=f"{number // 2}@example.org")

    with django_assert_num_queries(3):
        duplicates.likely_households()
