"""Households sign up by themselves: places, standby, and nothing told of what is on record."""

import datetime
import uuid

import pytest
from django.core.exceptions import ValidationError

from outreach.households import consent
from outreach.households.consent_models import Consent
from outreach.households.models import Household, Participant
from outreach.post.models import Message
from outreach.workshops import attendance, registering, signing_up
from outreach.workshops.attendance import AttendanceRow
from outreach.workshops.models import Booking, Registration
from tests.factories.bins import make_handout
from tests.factories.households import make_participant
from tests.factories.staff import make_member
from tests.workshops.sign_ups import AT, asked, make_home_on_record, make_public_workshop, sign_up

pytestmark = [pytest.mark.django_db, pytest.mark.postgres]


def test_a_household_gets_places_for_everyone_it_names_and_those_it_does_not():
    workshop = make_public_workshop()

    booking = sign_up(workshop, names=("Ada Holm", "Ben Holm"), people=4)

    workshop.refresh_from_db()
    assert booking.state == "booked"
    assert booking.people == 4
    assert workshop.booked_people == 4
    assert {one.participant.full_name for one in booking.registrations.all()} == {"Ada Holm", "Ben Holm"}


def test_who_signs_up_when_all_is_taken_stands_by_in_order():
    workshop = make_public_workshop(seats=2)
    sign_up(workshop, people=2)

    second, third = sign_up(workshop, names=("A B", "C D")), sign_up(workshop)

    workshop.refresh_from_db()
    assert [second.state, third.state] == ["standby", "standby"]
    assert second.standby_place < third.standby_place
    assert workshop.booked_people == 2


def test_a_larger_party_that_waits_does_not_bar_a_smaller_one():
    workshop = make_public_workshop(seats=3)
    sign_up(workshop, people=2)
    sign_up(workshop, people=2)

    small = sign_up(workshop)

    assert small.state == "booked"


def test_the_same_form_sent_twice_is_one_booking():
    workshop = make_public_workshop()
    form = asked(form_key=uuid.uuid4())

    first = signing_up.sign_up(workshop=workshop, asked=form, at=AT)
    again = signing_up.sign_up(workshop=workshop, asked=form, at=AT)

    workshop.refresh_from_db()
    assert first == again
    assert workshop.booked_people == 1


def test_a_person_who_is_on_the_list_takes_a_seat_again_until_the_office_joins_them():
    workshop = make_public_workshop()
    first = sign_up(workshop, names=("Ada Holm",), street="5 Reed Street")

    second = sign_up(workshop, names=("Ada Holm",), street="5 Reed Street", email="other@example.org")

    workshop.refresh_from_db()
    assert second.pk != first.pk
    assert second.counted_under == first.counted_under
    assert second.state == "booked"
    assert second.people == 1
    assert workshop.booked_people == 2
    assert Registration.objects.at(workshop).count() == 1


def test_what_a_stranger_types_changes_nothing_on_record():
    workshop = make_public_workshop()
    sign_up(workshop, names=("Ada Holm",), street="5 Reed Street", email="", phone="", reach_by="letter")

    sign_up(workshop, names=("Ada Holm",), street="5 Reed Street", email="stranger@example.org")

    assert Participant.objects.get().email == ""


def test_what_was_typed_becomes_part_of_the_record_once_the_person_came():
    workshop = make_public_workshop()
    sign_up(workshop, names=("Ada Holm",), street="5 Reed Street", email="", phone="", reach_by="letter")
    Booking.objects.update(email="ada@example.org", composting_before="prior", language="es")

    registering.mark_attended(
        registration=Registration.objects.get(), at=AT + datetime.timedelta(days=7), by=make_member()
    )

    person = Participant.objects.get()
    assert (person.email, person.language) == ("ada@example.org", "en")
    assert Household.objects.get().composting_before == "prior"


@pytest.mark.parametrize("known", [True, False])
def test_whoever_merely_names_an_address_is_written_to_about_their_own_booking_only(known):
    """A stranger names somebody's address; when the household itself signs up, the stranger hears nothing of it."""
    workshop = make_public_workshop()
    if known:
        home = make_home_on_record()
        ben = make_participant(household=home, full_name="Ben Holm", email="ben@example.org")
        make_handout(household=home, participant=ben)
    sign_up(workshop, names=("Mallory Quick",), street="5 Reed Street", email="mallory@example.org")
    sign_up(workshop, names=("Ada Holm",), street="5 Reed Street", email="ada@example.org")
    sign_up(workshop, names=("Mallory Slow",), street="5 Reed Street", email="slow@example.org")

    told = Message.objects.values_list("kind", "recipient_email")
    about_the_address = [to for kind, to in told if kind == "workshops.already_known"]
    assert set(about_the_address) == ({"ben@example.org"} if known else set())
    assert not Participant.objects.filter(email__in=["mallory@example.org", "slow@example.org"]).exists()


def test_a_stranger_neither_gives_nor_takes_back_the_consent_of_a_household_on_record():
    workshop = make_public_workshop()
    home = make_home_on_record()

    sign_up(workshop, names=("Mallory Quick",), street="5 Reed Street", consents_to_follow_up=False)

    assert not Consent.objects.filter(household=home).exists()


@pytest.mark.parametrize("is_given", [True, False])
def test_once_they_came_what_their_own_form_said_of_consent_counts(is_given):
    workshop = make_public_workshop()
    sign_up(workshop, names=("Mallory Quick",), street="5 Reed Street", consents_to_follow_up=not is_given)
    sign_up(workshop, names=("Ada Holm",), street="5 Reed Street", consents_to_follow_up=is_given)
    ada = Registration.objects.get(participant__full_name="Ada Holm")

    registering.mark_attended(registration=ada, at=AT + datetime.timedelta(days=7), by=make_member())

    assert consent.may_ask(ada.household, "follow_up") is is_given


def test_noted_on_paper_what_was_typed_becomes_part_of_the_record_as_well():
    workshop = make_public_workshop()
    sign_up(workshop, names=("Ada Holm",), street="5 Reed Street", email="ada@example.org")
    ada = Registration.objects.get()

    attendance.record_attendances(
        [AttendanceRow(workshop=workshop, participant=ada.participant)], by=None, at=AT
    )

    assert Participant.objects.get().email == "ada@example.org"


def test_an_address_elsewhere_is_welcome_and_marked():
    workshop = make_public_workshop()

    booking = sign_up(workshop, city="Farholm", zip_code="99999")

    assert booking.state == "booked"
    assert booking.is_outside_area
    assert Registration.objects.get().is_outside_area


@pytest.mark.parametrize(
    "differences",
    [
        {"is_public": False},
        {"state": "held"},
        {"state": "cancelled", "state_reason": "rain"},
        {"sign_up_closes_at": AT - datetime.timedelta(hours=1)},
        {"held_on": datetime.date(2026, 5, 1)},
    ],
)
def test_nobody_signs_up_where_sign_up_is_closed(differences):
    workshop = make_public_workshop(**differences)

    with pytest.raises(ValidationError, match="closed"):
        sign_up(workshop)

    assert not Booking.objects.exists()
    assert not Household.objects.exists()


def test_more_people_than_there_are_places_are_refused_at_once():
    workshop = make_public_workshop(seats=2)

    with pytest.raises(ValidationError, match="more people than this workshop has places"):
        sign_up(workshop, people=3)


def test_signing_up_on_the_last_day_for_confirming_is_confirming():
    workshop = make_public_workshop(confirm_by_on=datetime.date(2026, 5, 2))

    assert sign_up(workshop).confirmed_at == AT
