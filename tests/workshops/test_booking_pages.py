"""What the office sees of sign-ups, and does: answers from the phone, joining, postponing, waivers, its calendar."""

import datetime

import pytest
from django.urls import reverse
from django.utils import timezone

from outreach.staff.roles import Role
from outreach.workshops import giving_back
from outreach.workshops.models import Booking, Offer, WaiverText, Workshop
from tests.workshops.sign_ups import make_public_workshop, sign_up

pytestmark = pytest.mark.django_db


@pytest.fixture
def workshop():
    return make_public_workshop(seats=2, held_on=timezone.localdate() + datetime.timedelta(days=9))


def book(workshop, **differences):
    return sign_up(workshop, at=timezone.now(), **differences)


def read(client, workshop):
    return client.get(reverse("workshop_bookings", args=[workshop.pk])).content.decode()


def test_the_page_says_who_comes_how_to_reach_them_and_what_they_need(as_coordinator, workshop):
    book(workshop, names=("Ada Holm",), people=2, reach_by="phone", phone="555-555-0142", needs="a ramp")
    book(workshop, names=("Ben Ito",))

    text = read(as_coordinator, workshop)

    for words in ("Ada Holm", "by phone, 555-555-0142", "a ramp", "Ben Ito", "no. 1"):
        assert words in text


def test_more_bookings_need_no_more_queries(as_coordinator, workshop, django_assert_max_num_queries):
    Workshop.objects.update(seats=30)
    for _household in range(12):
        book(workshop)

    with django_assert_max_num_queries(14):
        read(as_coordinator, workshop)


@pytest.mark.parametrize(("answer", "outcome"), [("yes", "accepted"), ("no", "declined")])
def test_an_answer_from_the_phone_is_one_button(as_coordinator, workshop, answer, outcome):
    first = book(workshop, people=2)
    book(workshop)
    giving_back.give_back(booking=first, because="themselves", at=timezone.now())
    offer = Offer.objects.get()
    assert "Said yes" in read(as_coordinator, workshop)

    as_coordinator.post(reverse("offer_answer", args=[offer.pk, answer]))

    offer.refresh_from_db()
    assert offer.outcome == outcome


@pytest.mark.parametrize(("step", "state"), [("confirm", "booked"), ("give-back", "cancelled")])
def test_what_was_said_on_the_phone_is_written_down(as_coordinator, workshop, step, state):
    booking = book(workshop)

    as_coordinator.post(reverse("booking_step", args=[booking.pk, step]))

    booking.refresh_from_db()
    assert booking.state == state
    assert (booking.confirmed_at is not None) == (step == "confirm")


def test_a_place_that_is_not_there_is_refused_in_words(as_coordinator, workshop):
    book(workshop, people=2)
    waiting = book(workshop)

    answer = as_coordinator.post(reverse("booking_step", args=[waiting.pk, "book"]), follow=True)

    assert "More people booked than there are seats" in answer.content.decode()
    assert Booking.objects.get(pk=waiting.pk).state == "standby"


def test_two_bookings_of_a_household_are_shown_and_joined(as_coordinator, workshop):
    first = book(workshop, names=("Ada Holm",), street="5 Reed Street")
    second = book(workshop, names=("Ben Holm",), street="5 Reed Street")
    assert "1 household signed up more than once" in read(as_coordinator, workshop)
    address = reverse("booking_join", args=[first.pk, second.pk])

    assert as_coordinator.post(address, {"people": "1"}).status_code == 422
    assert as_coordinator.post(address, {"people": "2"}).status_code == 302

    assert Booking.objects.get(pk=second.pk).joined_into == first


def test_a_workshop_is_moved_with_its_reason(as_coordinator, workshop):
    book(workshop)
    address = reverse("workshop_postpone", args=[workshop.pk])
    day = workshop.held_on + datetime.timedelta(days=7)
    said = {"held_on": day.isoformat(), "starts_at_time": "10:00", "venue": workshop.venue_id}

    assert as_coordinator.post(address, said).status_code == 422
    assert as_coordinator.post(address, said | {"reason": "Flood"}).status_code == 302

    assert Workshop.objects.get().held_on == day


def test_a_waiver_is_written_in_both_languages(as_coordinator):
    address = reverse("waiver_texts")

    assert as_coordinator.post(address, {"english": "At my own risk"}).status_code == 422
    assert (
        as_coordinator.post(address, {"english": "At my risk", "spanish": "Por mi cuenta"}).status_code == 302
    )

    assert "Version 1 (es)" in as_coordinator.get(address).content.decode()
    assert WaiverText.objects.count() == 2


def test_everyone_has_a_calendar_address_of_their_own(as_role, client, workshop):
    page = as_role(Role.CITY_ANALYST).get(reverse("staff_calendar_address")).content.decode()
    address = page.split("http://127.0.0.1:8000")[1].split("<")[0]

    assert client.get(address)["Content-Type"].startswith("text/calendar")


def test_the_form_of_a_workshop_lets_residents_in(as_coordinator, workshop):
    said = {
        "kind": "class",
        "held_on": workshop.held_on.isoformat(),
        "starts_at_time": "10:00",
        "venue": workshop.venue_id,
        "jurisdiction": workshop.jurisdiction_id,
        "language": "en",
        "seats": "2",
        "bins_planned": "0",
        "is_public": "on",
        "bring_es": "Una bolsa",
        "sign_up_closes_at": f"{workshop.held_on}T09:00",
    }

    answer = as_coordinator.post(reverse("workshop_add"), said)

    assert answer.status_code == 302
    added = Workshop.objects.latest("pk")
    assert (added.is_public, added.bring_es) == (True, "Una bolsa")
    assert added.last_sign_up_at == added.sign_up_closes_at
