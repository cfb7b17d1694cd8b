"""Places at a workshop: booked within the seats, standby in order, came, missed, undone."""

import datetime

import pytest
from django.core.exceptions import ValidationError

from outreach.workshops import planning, registering
from outreach.workshops.models import Registration, Workshop
from tests.factories.households import make_household, make_participant
from tests.factories.workshops import make_workshop

pytestmark = [pytest.mark.django_db, pytest.mark.postgres]
BEFORE = datetime.datetime(2025, 5, 1, 19, tzinfo=datetime.UTC)
ON_THE_DAY = datetime.datetime(2025, 5, 9, 19, tzinfo=datetime.UTC)


@pytest.fixture
def book(coordinator):
    def register(workshop, **differences):
        person = make_participant(**differences)
        return registering.register(workshop=workshop, participant=person, at=BEFORE, by=coordinator)

    return register


def _states(workshop):
    return list(Registration.objects.at(workshop).order_by("pk").values_list("state", "standby_place"))


def test_whoever_finds_no_seat_stands_by_in_order(book):
    workshop = make_workshop(seats=2)

    for _number in range(4):
        book(workshop)

    assert _states(workshop) == [("booked", None), ("booked", None), ("standby", 1), ("standby", 2)]
    assert Workshop.objects.get(pk=workshop.pk).booked_people == 2


def test_a_place_given_back_goes_to_the_first_on_standby(book, coordinator):
    workshop = make_workshop(seats=1)
    first, _second, _third = book(workshop), book(workshop), book(workshop)

    registering.cancel(registration=first, at=BEFORE, by=coordinator)

    assert _states(workshop) == [("cancelled", None), ("booked", None), ("standby", 2)]


def test_nobody_overtakes_those_who_stand_by(book, coordinator):
    workshop = make_workshop(seats=1)
    book(workshop)
    book(workshop)
    workshop.refresh_from_db()
    workshop.seats = 2

    planning.correct(workshop=workshop, by=coordinator, at=BEFORE)
    late = book(workshop)

    assert _states(workshop)[:2] == [("booked", None), ("booked", None)]
    assert late.state == "standby"


def test_a_person_books_once(book, coordinator):
    workshop = make_workshop()
    booked = book(workshop)

    with pytest.raises(ValidationError, match="already on the list"):
        registering.register(workshop=workshop, participant=booked.participant, at=BEFORE, by=coordinator)


def test_whoever_gave_a_place_back_may_book_again(book, coordinator):
    workshop = make_workshop()
    booked = book(workshop)
    registering.cancel(registration=booked, at=BEFORE, by=coordinator)

    again = registering.register(workshop=workshop, participant=booked.participant, at=BEFORE, by=coordinator)

    assert (again.pk, again.state) == (booked.pk, "booked")


def test_the_first_who_comes_makes_the_workshop_held(book, coordinator):
    workshop = make_workshop()
    registration = book(workshop)

    came = registering.mark_attended(registration=registration, at=ON_THE_DAY, by=coordinator)

    assert came.state == "attended"
    assert came.arrived_at == ON_THE_DAY
    assert Workshop.objects.get(pk=workshop.pk).state == "held"


def test_nobody_has_come_before_the_day(book, coordinator):
    registration = book(make_workshop())

    with pytest.raises(ValidationError, match="nobody can have come yet"):
        registering.mark_attended(registration=registration, at=BEFORE, by=coordinator)

    registration.refresh_from_db()
    assert registration.state == "booked"


def test_undo_gives_the_booking_back(book, coordinator):
    registration = book(make_workshop())
    came = registering.mark_attended(registration=registration, at=ON_THE_DAY, by=coordinator)

    undone = registering.undo(registration=came, at=ON_THE_DAY, by=coordinator)

    assert (undone.state, undone.arrived_at) == ("booked", None)


def test_a_walk_in_that_is_undone_was_never_there(coordinator):
    workshop = make_workshop()
    person = make_participant()
    walked_in = registering.walk_in(workshop=workshop, participant=person, at=ON_THE_DAY, by=coordinator)

    undone = registering.undo(registration=walked_in, at=ON_THE_DAY, by=coordinator)

    assert walked_in.state == "walk_in"
    assert undone.state == "cancelled"
    assert not Registration.objects.at(workshop).on_the_list().exists()


def test_a_walk_in_who_is_on_the_list_has_attended(book, coordinator):
    workshop = make_workshop()
    booked = book(workshop)

    came = registering.walk_in(
        workshop=workshop, participant=booked.participant, at=ON_THE_DAY, by=coordinator
    )

    assert (came.pk, came.state) == (booked.pk, "attended")


def test_a_resident_of_elsewhere_is_marked(book):
    elsewhere = make_household(jurisdiction=None, city_name="Farville", zip_code="99999")
    unknown = make_household(jurisdiction=None)
    workshop = make_workshop()

    assert book(workshop, household=elsewhere).is_outside_area
    assert not book(workshop, household=unknown).is_outside_area
    assert not book(workshop).is_outside_area


def test_more_people_than_seats_may_walk_in(coordinator):
    workshop = make_workshop(seats=1)

    for _number in range(3):
        registering.walk_in(workshop=workshop, participant=make_participant(), at=ON_THE_DAY, by=coordinator)

    assert Workshop.objects.get(pk=workshop.pk).booked_people == 3
