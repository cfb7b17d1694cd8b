"""The list of households and the page of one: what each role sees, and at what cost."""

import datetime

import pytest
from django.urls import reverse

from outreach.households import dossier
from outreach.staff.roles import OFFICE, Role
from tests.factories.households import make_household, make_participant
from tests.factories.places import make_district, make_jurisdiction

LIST_QUERIES = 14
WITHOUT_CONTACT_DATA = [Role.CITY_ANALYST, Role.AUDITOR]


def page_of(client, name, *args, **query):
    return client.get(reverse(name, args=args), query).content.decode()


def a_household(**differences):
    household = make_household(street="206 Marsh St", street_key="206 MARSH ST", note="By the mill")
    person = {"full_name": "Umar Sandoval", "name_key": "UMAR SANDOVAL", "email": "umar@example.org"}
    make_participant(household=household, phone="503-555-0195", phone_key="5035550195", **person)
    return household


def test_the_list_names_street_and_people(as_coordinator):
    a_household()

    page = page_of(as_coordinator, "households")

    assert "206 Marsh St" in page
    assert "Umar Sandoval" in page


@pytest.mark.parametrize("role", WITHOUT_CONTACT_DATA)
def test_readers_see_neither_names_nor_streets_nor_ways_to_reach_anyone(as_role, role):
    client = as_role(role)
    household = a_household()

    pages = page_of(client, "households") + page_of(client, "household", household.pk)

    for personal in ("Marsh", "Umar", "Sandoval", "umar@", "555-0195", "By the mill"):
        assert personal not in pages
    assert f"Household {household.pk}" in pages


@pytest.mark.parametrize("role", WITHOUT_CONTACT_DATA)
def test_readers_cannot_search_by_what_they_may_not_see(as_role, role):
    client = as_role(role)
    a_household()
    make_household()

    page = page_of(client, "households", q="umar")

    assert "2 households" in page


@pytest.mark.parametrize("role", [Role.DOOR_CREW, *WITHOUT_CONTACT_DATA])
def test_only_the_office_changes_records(as_role, role):
    client = as_role(role)
    first, second = a_household(), make_household()
    person = first.participants.get()
    addresses = [
        reverse("household_add"),
        reverse("duplicates"),
        reverse("household_correct", args=[first.pk]),
        reverse("participant_add", args=[first.pk]),
        reverse("participant", args=[person.pk]),
        reverse("merge_choose", args=[first.pk]),
        reverse("household_merge", args=[first.pk, second.pk]),
    ]

    assert {client.get(address).status_code for address in addresses} == {403}
    assert reverse("household_correct", args=[first.pk]) not in page_of(client, "household", first.pk)


@pytest.mark.parametrize("rows", [5, 50])
def test_the_list_asks_the_database_the_same_whatever_its_length(
    as_coordinator, django_assert_max_num_queries, rows
):
    for _ in range(rows):
        make_participant()

    with django_assert_max_num_queries(LIST_QUERIES):
        page_of(as_coordinator, "households")


@pytest.mark.parametrize("rows", [5, 50])
def test_the_list_of_duplicates_asks_the_same_whatever_its_length(
    as_coordinator, django_assert_max_num_queries, rows
):
    for number in range(rows):
        for _ in range(2):
            make_participant(email=f"{number}@example.org")

    for kind in ("household", "participant"):
        with django_assert_max_num_queries(LIST_QUERIES):
            page = page_of(as_coordinator, "duplicates", kind=kind)
        assert page.count("the same e-mail address") == min(rows, 50)


@pytest.mark.parametrize(
    "words", ["umar", "SANDOVAL, Umar", "206 marsh street", "marsh", "umar@example.org", "555-0195", "0195"]
)
def test_search_finds_by_any_part_of_what_is_known(as_coordinator, words):
    a_household()
    make_household(street="12 Alder Ave", street_key="12 ALDER AVE")

    page = page_of(as_coordinator, "households", q=words)

    assert "206 Marsh St" in page
    assert "12 Alder Ave" not in page


def test_filters_by_jurisdiction_district_and_moving_out(as_coordinator):
    town = make_jurisdiction()
    district = make_district(jurisdiction=town)
    make_household(street="1 Here St", jurisdiction=town, district=district)
    make_household(
        street="2 Gone St",
        jurisdiction=town,
        ended_on=datetime.date(2025, 1, 1),
        bin_after_move="unknown",
    )
    make_household(street="3 Else St")

    by_town = page_of(as_coordinator, "households", jurisdiction=town.pk)
    by_district = page_of(as_coordinator, "households", district=district.pk)
    gone = page_of(as_coordinator, "households", living="moved")

    assert "1 Here St" in by_town
    assert "2 Gone St" in by_town
    assert "3 Else St" not in by_town
    assert "1 Here St" in by_district
    assert "2 Gone St" not in by_district
    assert "2 Gone St" in gone
    assert "1 Here St" not in gone


def test_the_list_narrows_to_likely_duplicates(as_coordinator):
    make_participant(household=make_household(street="1 Twin St"), email="a@example.org")
    make_participant(household=make_household(street="2 Twin St"), email="a@example.org")
    make_household(street="3 Single St")

    page = page_of(as_coordinator, "households", duplicates="yes")

    assert "1 Twin St" in page
    assert "2 Twin St" in page
    assert "3 Single St" not in page


def test_htmx_gets_the_rows_alone(as_coordinator):
    a_household()

    page = as_coordinator.get(reverse("households"), headers={"HX-Request": "true"}).content.decode()

    assert "206 Marsh St" in page
    assert "<html" not in page


def test_fifty_rows_a_page(as_coordinator):
    for _ in range(51):
        make_household()

    assert "1 to 50 of 51" in page_of(as_coordinator, "households")
    assert "51 to 51 of 51" in page_of(as_coordinator, "households", page=2)


@pytest.mark.parametrize("order", ["street", "-street", "jurisdiction", "-since", "nonsense"])
def test_the_list_sorts_by_its_columns(as_coordinator, order):
    make_household(
        street="1 A St", began_on=datetime.date(2023, 1, 1), jurisdiction=make_jurisdiction(name="A")
    )
    make_household(
        street="2 B St", began_on=datetime.date(2024, 1, 1), jurisdiction=make_jurisdiction(name="B")
    )

    page = page_of(as_coordinator, "households", order=order)

    assert (page.index("1 A St") < page.index("2 B St")) is not order.startswith("-")


def test_other_apps_add_lines_buttons_and_panels(as_coordinator, monkeypatch):
    household = a_household()
    line = dossier.Entry(on=datetime.date(2025, 5, 9), words="Took a bin home", mark="handed_out")
    monkeypatch.setattr(dossier, "_timelines", [lambda household: [line]])
    button = dossier.Action(words="They moved out", url="/gone/")
    monkeypatch.setattr(
        dossier, "_actions", [lambda household, member: [button] if member.role in OFFICE else []]
    )

    page = page_of(as_coordinator, "household", household.pk)

    assert "Took a bin home" in page
    assert 'href="/gone/"' in page
