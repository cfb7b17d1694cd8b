"""Many rows in one statement: written as `save` writes them, numbered in order, nothing left out by mistake."""

import datetime

import pytest

from outreach.households.models import Household, Participant
from outreach.staff import many_rows
from tests.factories.households import make_household, make_participant

pytestmark = [pytest.mark.django_db, pytest.mark.postgres]


def people(household, *names):
    seen_on = datetime.date(2024, 1, 1)
    return [
        Participant(household=household, full_name=name, name_key=name.upper(), first_seen_on=seen_on)
        for name in names
    ]


def test_records_get_their_numbers_in_order():
    household = make_household()
    new = people(household, "Ada Holm", "Ben Ito", "Cy Adeyemi")

    many_rows.insert_records(new, among=Participant.objects.of(household))

    kept = [(one.pk, one.full_name) for one in Participant.objects.order_by("pk")]
    assert kept == [(one.pk, one.full_name) for one in new]
    assert all(one.first_seen_on == datetime.date(2024, 1, 1) for one in Participant.objects.all())


def test_what_is_left_out_of_a_new_row_has_its_default():
    place = make_household()
    row = vars(Household(street="9 Reed St", street_key="9 REED ST", address_key="9 REED ST 00431"))
    row = {name: row[name] for name in ("street", "street_key", "address_key")}

    many_rows.insert(Household, [row | {"began_on": place.began_on}])

    assert Household.objects.get(street="9 Reed St").composting_before == Household.Composting.NOT_SAID


def test_only_the_named_fields_of_the_given_rows_change():
    changed, other = make_participant(full_name="Ada Holm"), make_participant(full_name="Ben Ito")
    changed.full_name, changed.note = "Ada Holme", "typed by mistake"

    many_rows.update_records([changed], ["full_name"])

    changed.refresh_from_db()
    other.refresh_from_db()
    assert (changed.full_name, changed.note, other.full_name) == ("Ada Holme", "", "Ben Ito")


def test_a_field_that_is_missing_from_a_row_is_an_error_not_a_default():
    person = make_participant()

    with pytest.raises(KeyError):
        many_rows.update(Participant, [{"id": person.pk}], ["note"])
