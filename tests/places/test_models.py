"""Each rule that the database holds for places, broken through the ORM, with the sentence people read."""

import datetime

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction

from outreach.places.models import District, Jurisdiction, LandfillProfile, ServedPlace, Venue
from tests.factories.places import (
    make_district,
    make_jurisdiction,
    make_landfill_profile,
    make_served_place,
    make_venue,
)

pytestmark = pytest.mark.django_db


def refused(record, sentence):
    """Both nets hold: validation says the sentence, and the database refuses the row."""
    with pytest.raises(ValidationError) as told:
        record.full_clean()
    assert sentence in " ".join(told.value.messages)
    with pytest.raises(IntegrityError), transaction.atomic():
        record.save()


@pytest.mark.parametrize("percent", [101, 30000])
def test_oxidation_is_a_share(percent):
    profile = LandfillProfile(name="Quarry", climate="wet", collection="typical", oxidation_percent=percent)

    refused(profile, "Oxidation is a share from 0 to 100 %.")


def test_the_landfilled_share_is_a_share():
    town = Jurisdiction(name="Town", landfill_profile=make_landfill_profile(), landfilled_percent=101)

    refused(town, "The landfilled share is from 0 to 100 %.")


@pytest.mark.parametrize("month", [0, 13])
def test_the_fiscal_year_starts_in_a_month(month):
    town = Jurisdiction(name="Town", landfill_profile=make_landfill_profile(), fiscal_year_starts_month=month)

    refused(town, "The fiscal year starts in a month from 1 to 12.")


@pytest.mark.parametrize("days", [0, 367])
def test_a_report_is_due_within_a_year_of_its_period(days):
    town = Jurisdiction(name="Town", landfill_profile=make_landfill_profile(), report_due_days=days)

    with pytest.raises(ValidationError, match="1 to 366 days after its period"):
        town.full_clean()
    with pytest.raises(IntegrityError), transaction.atomic():
        town.save()


def test_a_city_and_zip_is_listed_once():
    place = make_served_place(city_key="MILLRACE", zip_code="00418")
    again = ServedPlace(
        jurisdiction=place.jurisdiction, city_name="MILLRACE", city_key="MILLRACE", zip_code="00418"
    )

    refused(again, "This city and ZIP are already in the places list.")


def test_one_zip_may_have_two_cities():
    make_served_place(city_key="MILLRACE", zip_code="00418")

    make_served_place(city_key="OLD MILLRACE", zip_code="00418")


@pytest.mark.parametrize("zip_code", ["417", "0041A", ""])
def test_a_zip_has_five_digits(zip_code):
    place = ServedPlace(
        jurisdiction=make_jurisdiction(), city_name="Millrace", city_key="MILLRACE", zip_code=zip_code
    )
    if zip_code:
        refused(place, "A ZIP has five digits, its leading zero too.")
    else:
        with pytest.raises(IntegrityError), transaction.atomic():
            place.save()


def test_a_district_is_recorded_once_from_a_day():
    district = make_district(name="North", from_on=datetime.date(2020, 1, 1))
    again = District(jurisdiction=district.jurisdiction, name="North", from_on=datetime.date(2020, 1, 1))

    refused(again, "This district is already recorded from that day.")


def test_a_district_does_not_end_before_it_starts():
    district = District(
        jurisdiction=make_jurisdiction(),
        name="North",
        from_on=datetime.date(2020, 1, 1),
        until_on=datetime.date(2019, 12, 31),
    )

    refused(district, "A district cannot end before it starts.")


def test_a_venue_is_recorded_once_in_a_jurisdiction():
    venue = make_venue(name_key="TANNERY HALL")
    again = Venue(name="Tannery Hall.", name_key="TANNERY HALL", jurisdiction=venue.jurisdiction)

    refused(again, "This venue is already recorded in that jurisdiction.")


def test_an_own_gas_table_that_is_empty_is_refused_in_words():
    profile = LandfillProfile(name="Quarry", climate="wet", collection="own", own_phases=[])

    with pytest.raises(ValidationError, match="Give the table, from year 0 on"):
        profile.full_clean()


def test_districts_in_force_leave_out_those_that_ended():
    gone = make_district(until_on=datetime.date(2024, 1, 1))
    here = make_district()

    assert list(District.objects.in_force(datetime.date(2024, 1, 1))) == [here]
    assert gone in District.objects.in_force(datetime.date(2023, 12, 31))
