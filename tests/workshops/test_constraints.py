"""Every rule of workshops that the database holds, broken through the ORM, with its sentence."""

import datetime

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction

from tests.factories.households import make_participant
from tests.factories.workshops import make_registration, make_workshop

pytestmark = [pytest.mark.django_db, pytest.mark.postgres]
TEN, NINE = datetime.time(10), datetime.time(9)

BROKEN_WORKSHOPS = [
    ({"seats": 2, "booked_people": 3}, "More people booked than there are seats"),
    ({"state": "cancelled"}, "Say why the workshop was cancelled"),
    ({"starts_at_time": TEN, "ends_at_time": NINE}, "cannot end before it starts"),
]


@pytest.mark.parametrize(("differences", "sentence"), BROKEN_WORKSHOPS)
def test_a_broken_workshop_is_refused_by_form_and_database(differences, sentence):
    workshop = make_workshop()
    for name, value in differences.items():
        setattr(workshop, name, value)

    with pytest.raises(ValidationError, match=sentence):
        workshop.full_clean()
    with pytest.raises(IntegrityError), transaction.atomic():
        workshop.save()


def test_more_people_than_seats_may_have_come_once_it_is_held():
    workshop = make_workshop(seats=2, booked_people=3, state="held")

    workshop.full_clean()


def _refused(registration, sentence):
    with pytest.raises(ValidationError, match=sentence):
        registration.full_clean()
    with pytest.raises(IntegrityError), transaction.atomic():
        registration.save()


def test_a_person_is_on_the_list_of_a_workshop_once():
    first = make_registration()
    second = make_registration(participant=first.participant)
    second.workshop = first.workshop

    _refused(second, "already on the list")


def test_nobody_shares_a_place_on_standby():
    first = make_registration(state="standby", standby_place=1)
    second = make_registration(workshop=first.workshop, state="standby", standby_place=2)
    second.standby_place = 1

    _refused(second, "Someone else has that place on standby")


def test_standby_has_a_place():
    registration = make_registration(participant=make_participant())
    registration.state = "standby"

    _refused(registration, "Give the place on standby")


def test_the_month_follows_the_date():
    workshop = make_workshop(held_on=datetime.date(2025, 5, 9))
    workshop.refresh_from_db()

    assert workshop.month == 2025 * 12 + 4
