"""Which jurisdiction a city and ZIP belong to."""

import pytest

from outreach.places.city_names import city_key
from outreach.places.serving import Place, PlacesList
from tests.factories.places import make_served_place

ROWS = [
    (1, "Sorrel Bay", "00417"),
    (1, "Sorrel Bay", "00419"),
    (2, "Millrace", "00418"),
    (3, "Saint Alder", "00420"),
    (3, "Osprey Landing", "00421"),
    (2, "Old Millrace", "00422"),
    (3, "Old Alder", "00422"),
]
PLACES = PlacesList(tuple(Place(number, city, city_key(city), zip_code) for number, city, zip_code in ROWS))


@pytest.mark.parametrize(
    ("city", "zip_code", "jurisdiction", "city_name", "five"),
    [
        ("Millrace", "00418", 2, "Millrace", "00418"),
        ("MILLRACE", 418.0, 2, "Millrace", "00418"),
        ("Mill.", "", 2, "Millrace", "00418"),
        ("Mill.", "00418", 2, "Millrace", "00418"),
        ("Millrace, OR", None, 2, "Millrace", "00418"),
        ("Osp. Land.", None, 3, "Osprey Landing", "00421"),
        ("Osprey", None, 3, "Osprey Landing", "00421"),
        ("St. Alder", None, 3, "Saint Alder", "00420"),
        ("", "418", 2, "Millrace", "00418"),
        ("Sorrel Bay", "", 1, "Sorrel Bay", ""),
        ("Old Alder", "00422", 3, "Old Alder", "00422"),
    ],
)
def test_what_is_served_is_understood(city, zip_code, jurisdiction, city_name, five):
    place = PLACES.resolve(city, zip_code)

    assert (place.jurisdiction_id, place.city_name, place.zip_code) == (jurisdiction, city_name, five)
    assert place.is_served
    assert place.understood
    assert not place.disagree


@pytest.mark.parametrize(
    ("city", "zip_code"),
    [("Far Wickham", "00588"), ("Far .", "00588"), ("Far .", ""), ("", "00588"), ("Sor", ""), ("M.", "")],
)
def test_what_is_not_served_is_outside_not_unknown(city, zip_code):
    place = PLACES.resolve(city, zip_code)

    assert not place.is_served
    assert place.jurisdiction_id is None
    assert place.understood


@pytest.mark.parametrize(("city", "zip_code"), [("", ""), (None, None), (" ", "n/a"), ("-", 4)])
def test_neither_given_is_unknown_not_outside(city, zip_code):
    place = PLACES.resolve(city, zip_code)

    assert not place.understood
    assert not place.is_served


def test_the_zip_decides_where_city_and_zip_disagree():
    place = PLACES.resolve("Millrace", "00417")

    assert (place.jurisdiction_id, place.city_name) == (1, "Sorrel Bay")
    assert place.disagree


def test_a_served_city_with_a_zip_of_elsewhere_disagrees_and_is_not_served():
    place = PLACES.resolve("Millrace", "00588")

    assert place.disagree
    assert not place.is_served


def test_a_zip_of_two_jurisdictions_without_a_city_is_served_but_whose_is_not_known():
    place = PLACES.resolve("", "00422")

    assert place.is_served
    assert place.jurisdiction_id is None


def test_a_shortened_city_that_could_be_two_is_neither():
    assert not PLACES.resolve("Old.", "").is_served


def test_the_list_is_loaded_with_one_query(db, django_assert_num_queries):
    for _ in range(3):
        make_served_place()

    with django_assert_num_queries(1):
        assert len(PlacesList.load().places) == 3
