"""The Set-up pages: lists, forms, who may."""

import pytest
from django.urls import reverse

from outreach.places.models import Jurisdiction, LandfillProfile, ServedPlace, Venue
from outreach.staff.roles import Role
from tests.factories import places as factories

KINDS = {
    "jurisdiction": ("jurisdictions", factories.make_jurisdiction),
    "served_place": ("served_places", factories.make_served_place),
    "district": ("districts", factories.make_district),
    "landfill_profile": ("landfill_profiles", factories.make_landfill_profile),
    "venue": ("venues", factories.make_venue),
}
QUERIES = 12


@pytest.mark.parametrize("name", KINDS)
def test_a_list_shows_its_rows_and_links_to_each(as_coordinator, name):
    list_url, make = KINDS[name]
    record = make()

    page = as_coordinator.get(reverse(list_url)).content.decode()

    assert reverse(name, args=[record.pk]) in page
    assert reverse(f"{name}_add") in page


@pytest.mark.parametrize("name", KINDS)
def test_an_empty_list_says_what_to_do_next(as_coordinator, db, name):
    page = as_coordinator.get(reverse(KINDS[name][0])).content.decode()

    assert 'class="empty"' in page
    assert reverse(f"{name}_add") in page


@pytest.mark.parametrize("rows", [5, 50])
@pytest.mark.parametrize("name", KINDS)
def test_a_list_asks_the_database_the_same_whatever_its_length(
    as_coordinator, django_assert_max_num_queries, name, rows
):
    list_url, make = KINDS[name]
    for _ in range(rows):
        make()

    with django_assert_max_num_queries(QUERIES):
        as_coordinator.get(reverse(list_url))


@pytest.mark.parametrize("role", [Role.DOOR_CREW, Role.CITY_ANALYST, Role.AUDITOR])
@pytest.mark.parametrize("name", KINDS)
def test_only_the_office_sets_up(as_role, name, role):
    client = as_role(role)
    record = KINDS[name][1]()

    assert client.get(reverse(KINDS[name][0])).status_code == 403
    assert client.get(reverse(f"{name}_add")).status_code == 403
    assert client.post(reverse(name, args=[record.pk]), {}).status_code == 403
    assert client.get(reverse("set_up")).status_code == 403


def test_the_index_links_to_every_list(as_coordinator):
    page = as_coordinator.get(reverse("set_up")).content.decode()

    for list_url, _make in KINDS.values():
        assert f'href="{reverse(list_url)}"' in page


def test_a_jurisdiction_is_added(as_coordinator):
    profile = factories.make_landfill_profile()
    given = {
        "name": "Sorrel Bay",
        "landfill_profile": profile.pk,
        "landfilled_percent": 80,
        "fiscal_year_starts_month": 7,
        "report_due_days": 30,
        "mass_unit": "short_ton",
    }

    answer = as_coordinator.post(reverse("jurisdiction_add"), given)

    assert answer.status_code == 302
    assert Jurisdiction.objects.get().landfilled_percent == 80


def test_a_zip_that_lost_its_zero_gets_it_back(as_coordinator):
    jurisdiction = factories.make_jurisdiction()
    given = {"jurisdiction": jurisdiction.pk, "city_name": "Sorrel Bay", "zip_code": "417"}

    as_coordinator.post(reverse("served_place_add"), given)

    assert str(ServedPlace.objects.get()) == "Sorrel Bay 00417"


def test_the_same_city_and_zip_twice_is_refused_in_words(as_coordinator):
    place = factories.make_served_place(city_name="Sorrel Bay", zip_code="00417", city_key="SORREL BAY")
    given = {"jurisdiction": place.jurisdiction.pk, "city_name": "SORREL  BAY", "zip_code": "00417"}

    page = as_coordinator.post(reverse("served_place_add"), given).content.decode()

    assert "already in the places list" in page
    assert ServedPlace.objects.count() == 1


def test_the_same_venue_written_otherwise_is_refused_in_words(as_coordinator):
    venue = factories.make_venue(name="Tannery Hall", name_key="TANNERY HALL")
    given = {"name": "tannery hall.", "jurisdiction": venue.jurisdiction.pk}

    page = as_coordinator.post(reverse("venue_add"), given).content.decode()

    assert "This venue is already recorded in that jurisdiction." in page
    assert Venue.objects.count() == 1


def test_a_place_is_taken_off_the_list(as_coordinator):
    place = factories.make_served_place()

    as_coordinator.post(reverse("served_place_remove", args=[place.pk]))

    assert not ServedPlace.objects.exists()


def test_an_own_gas_table_is_written_in_lines(as_coordinator):
    given = {
        "name": "Old Quarry",
        "climate": "wet",
        "collection": "own",
        "own_phases": "0 to 2: 0 %\n2 to 5: 50 %\n5 on: 75 %",
        "oxidation_percent": 10,
    }

    as_coordinator.post(reverse("landfill_profile_add"), given)

    assert LandfillProfile.objects.get().own_phases == [[0, 2, 0], [2, 5, 0.5], [5, None, 0.75]]


def test_an_own_gas_table_with_a_gap_says_which_line(as_coordinator):
    given = {
        "name": "Old Quarry",
        "climate": "wet",
        "collection": "own",
        "own_phases": "0 to 2: 0 %\n3 on: 75 %",
        "oxidation_percent": 10,
    }

    page = as_coordinator.post(reverse("landfill_profile_add"), given).content.decode()

    assert "Line 2: it has to begin in the year in which line 1 ends." in page
    assert not LandfillProfile.objects.exists()


def test_filters_narrow_a_list_and_answer_htmx_with_the_rows_alone(as_coordinator):
    factories.make_venue(name="Tannery Hall")
    factories.make_venue(name="Quarry Park")

    page = as_coordinator.get(
        reverse("venues"), {"name": "tann"}, headers={"HX-Request": "true"}
    ).content.decode()

    assert "Tannery Hall" in page
    assert "Quarry Park" not in page
    assert "<html" not in page
