"""The pages of workshops, as people of each role use them."""

import datetime

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from outreach.households.models import Household, Participant
from outreach.staff.roles import Role
from outreach.workshops.models import Registration, Workshop
from tests.factories.households import make_household, make_participant
from tests.factories.places import make_served_place, make_venue
from tests.factories.workshops import make_registration, make_workshop

pytestmark = pytest.mark.django_db


def _queries(client, address):
    with CaptureQueriesContext(connection) as queries:
        assert client.get(address).status_code == 200
    return len(queries)


def test_more_workshops_need_no_more_queries(as_coordinator):
    make_registration()
    few = _queries(as_coordinator, reverse("workshops"))
    for _number in range(12):
        make_registration()

    assert _queries(as_coordinator, reverse("workshops")) == few


def test_a_longer_roster_needs_no_more_queries(as_coordinator):
    workshop = make_workshop()
    make_registration(workshop=workshop)
    few = _queries(as_coordinator, reverse("workshop", args=[workshop.pk]))
    for _number in range(12):
        make_registration(workshop=workshop)

    assert _queries(as_coordinator, reverse("workshop", args=[workshop.pk])) == few


def test_a_longer_search_needs_no_more_queries(as_coordinator):
    address = reverse("workshop_person_add", args=[make_workshop().pk, "book"]) + "?q=ada"
    make_participant()
    few = _queries(as_coordinator, address)
    for _number in range(12):
        make_participant()

    assert _queries(as_coordinator, address) == few


def _planned(**differences):
    venue = make_venue()
    fields = {"kind": "class", "held_on": "2025-05-09", "venue": venue.pk, "language": "en"}
    return fields | {"jurisdiction": venue.jurisdiction_id, "seats": 30, "bins_planned": 20} | differences


def test_a_workshop_is_added(as_coordinator):
    page = as_coordinator.post(reverse("workshop_add"), _planned(), follow=True)

    workshop = Workshop.objects.get()
    assert page.redirect_chain[-1][0] == reverse("workshop", args=[workshop.pk])
    assert (workshop.seats, workshop.state) == (30, "planned")


def test_a_workshop_that_ends_before_it_starts_is_refused(as_coordinator):
    times = {"starts_at_time": "10:00", "ends_at_time": "09:00"}

    page = as_coordinator.post(reverse("workshop_add"), _planned(**times))

    assert page.status_code == 422
    assert "A workshop cannot end before it starts." in page.content.decode()
    assert not Workshop.objects.exists()


def test_seats_cannot_be_fewer_than_people_booked(as_coordinator):
    workshop = make_workshop(seats=2, booked_people=2)

    page = as_coordinator.post(
        reverse("workshop_edit", args=[workshop.pk]), _planned(venue=workshop.venue_id, seats=1)
    )

    assert page.status_code == 422
    assert "More people booked than there are seats" in page.content.decode()


def test_came_is_one_button_that_swaps_its_row(as_coordinator):
    registration = make_registration()
    address = reverse("registration_step", args=[registration.pk, "attended"])

    page = as_coordinator.post(address, HTTP_HX_REQUEST="true")

    registration.refresh_from_db()
    text = page.content.decode()
    assert registration.state == "attended"
    assert text.strip().startswith(f'<tr id="registration-{registration.pk}"')
    assert 'hx-swap-oob="true"' in text  # the totals follow


def test_came_works_without_javascript(as_coordinator):
    registration = make_registration()

    page = as_coordinator.post(reverse("registration_step", args=[registration.pk, "attended"]))

    assert page["Location"] == reverse("workshop", args=[registration.workshop_id])
    registration.refresh_from_db()
    assert registration.state == "attended"


def test_a_refused_step_says_why_in_its_row(as_coordinator):
    tomorrow = timezone.localdate() + datetime.timedelta(days=1)
    registration = make_registration(workshop=make_workshop(held_on=tomorrow))

    page = as_coordinator.post(
        reverse("registration_step", args=[registration.pk, "attended"]), HTTP_HX_REQUEST="true"
    )

    assert "nobody can have come yet" in page.content.decode()


def _typed(**differences):
    fields = {"full_name": "Ada Lindqvist", "street": "12 Alder Street", "city": "Alder Creek"}
    return fields | {"zip_code": "00417"} | differences


def test_a_walk_in_is_recorded_with_household_and_person(as_coordinator):
    place = make_served_place(city_name="Alder Creek", zip_code="00417")
    workshop = make_workshop()
    address = reverse("workshop_person_add", args=[workshop.pk, "walk-in"])

    as_coordinator.post(address, _typed())
    as_coordinator.post(address, _typed(full_name="LINDQVIST, ADA", street="12 ALDER ST."))

    registration = Registration.objects.get()
    assert (registration.state, registration.is_outside_area) == ("walk_in", False)
    assert Participant.objects.get().household == Household.objects.get() == registration.household
    assert registration.household.jurisdiction == place.jurisdiction


def test_an_address_that_is_none_is_refused_under_its_field(as_coordinator):
    workshop = make_workshop()

    page = as_coordinator.post(
        reverse("workshop_person_add", args=[workshop.pk, "book"]), _typed(street="PO Box 12")
    )

    assert page.status_code == 422
    assert page.context["form"].errors["street"]
    assert not Household.objects.exists()


@pytest.mark.parametrize("sought", ["lindq ada", "ADA", "ada.l@example.org", "555 0142", "12 alder"])
def test_a_person_is_found_by_whatever_they_say(as_coordinator, sought):
    home = make_household(street="12 Alder St", street_key="12 ALDER ST")
    ada = make_participant(
        household=home,
        full_name="Ada Lindqvist",
        name_key="ADA LINDQVIST",
        email="ada.l@example.org",
        phone_key="5550142",
    )
    make_participant(full_name="Bao Thackeray", name_key="BAO THACKERAY")
    workshop = make_workshop()

    page = as_coordinator.get(reverse("workshop_person_add", args=[workshop.pk, "book"]), {"q": sought})

    assert page.context["found"] == [ada]
    as_coordinator.post(reverse("workshop_person_put", args=[workshop.pk, "book", ada.pk]))
    assert Registration.objects.get().participant == ada


def test_cancelling_and_opening_again_ask_for_a_reason(as_coordinator):
    workshop = make_workshop()
    cancel = reverse("workshop_reason", args=[workshop.pk, "cancel"])

    refused = as_coordinator.post(cancel, {"reason": ""})
    as_coordinator.post(cancel, {"reason": "Storm."})

    workshop.refresh_from_db()
    assert refused.status_code == 422
    assert (workshop.state, workshop.state_reason) == ("cancelled", "Storm.")
    assert "Storm." in as_coordinator.get(reverse("workshop", args=[workshop.pk])).content.decode()


@pytest.mark.parametrize("role", [Role.CITY_ANALYST, Role.AUDITOR])
def test_analysts_and_auditors_read_the_roster_without_names(as_role, role):
    home = make_household(street="77 Secret Lane")
    person = make_participant(household=home, full_name="Ada Hidden")
    gone = make_participant(full_name="Bao Hidden")
    registration = make_registration(participant=person, note="allergic")
    make_registration(workshop=registration.workshop, participant=gone, state="cancelled")
    client = as_role(role)

    page = client.get(reverse("workshop", args=[registration.workshop_id]))

    text = page.content.decode()
    assert page.status_code == 200
    assert f"Person {registration.pk}" in text
    for word in ("Hidden", "Secret", "allergic"):
        assert word not in text
    address = reverse("registration_step", args=[registration.pk, "attended"])
    assert client.post(address).status_code == 403


def test_door_crew_changes_the_list_but_not_the_plan(as_role):
    client = as_role(Role.DOOR_CREW)
    registration = make_registration()
    workshop = registration.workshop

    assert client.post(reverse("registration_step", args=[registration.pk, "missed"])).status_code == 302
    assert client.get(reverse("workshop_edit", args=[workshop.pk])).status_code == 403
    assert client.post(reverse("workshop_step", args=[workshop.pk, "close"])).status_code == 403


def test_the_list_narrows_by_state_place_and_period(as_coordinator):
    held = make_workshop(state="held", held_on=datetime.date(2025, 5, 9))
    make_workshop(held_on=datetime.date(2025, 5, 9))
    make_workshop(state="held", held_on=datetime.date(2025, 6, 9))

    page = as_coordinator.get(
        reverse("workshops"), {"state": "held", "since": "2025-05-01", "until": "2025-05-31"}
    )

    assert list(page.context["page"].object_list) == [held]


def test_an_empty_list_says_what_to_do_next(as_coordinator):
    page = as_coordinator.get(reverse("workshops"))

    assert "Add the first workshop" in page.content.decode()
