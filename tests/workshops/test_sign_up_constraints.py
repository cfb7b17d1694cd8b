"""Every rule of bookings, offers and waivers that the database holds, broken through the ORM."""

import datetime
import uuid

import pytest
from django.core.exceptions import ValidationError
from django.db import DatabaseError, IntegrityError, transaction

from outreach.workshops import waivers
from outreach.workshops.models import Offer, WaiverAcceptance, WaiverText
from tests.factories.staff import make_member
from tests.factories.workshops import make_booking, make_registration, make_waiver_text, make_workshop

pytestmark = [pytest.mark.django_db, pytest.mark.postgres]

AT = datetime.datetime(2026, 5, 2, 18, tzinfo=datetime.UTC)
DAY = datetime.timedelta(days=1)


def refused(record, sentence):
    with pytest.raises(ValidationError, match=sentence):
        record.full_clean()
    with pytest.raises(IntegrityError), transaction.atomic():
        record.save()


@pytest.mark.parametrize(
    ("differences", "sentence"),
    [
        ({"is_public": True}, "Give the time at which it starts"),
        ({"confirm_by_on": datetime.date(2025, 5, 10)}, "on the day of the workshop at the latest"),
        ({"postponed_at": AT}, "from which day"),
    ],
)
def test_a_broken_workshop_is_refused(differences, sentence):
    workshop = make_workshop()
    for name, value in differences.items():
        setattr(workshop, name, value)

    refused(workshop, sentence)


def test_sign_up_closes_before_the_workshop_starts():
    workshop = make_workshop(starts_at_time=datetime.time(10))
    workshop.sign_up_closes_at = workshop.starts_at + datetime.timedelta(minutes=1)

    with pytest.raises(ValidationError, match="closes before the workshop starts"):
        workshop.full_clean()


@pytest.mark.parametrize(
    ("differences", "sentence"),
    [
        ({"email": ""}, "Give the e-mail address"),
        ({"reach_by": "phone"}, "Give the phone number"),
        ({"state": "cancelled"}, "Say why the booking was given back"),
        ({"cancelled_because": "office"}, "Say why the booking was given back"),
        ({"state": "standby"}, "Give the place on standby"),
        ({"standby_place": 3}, "only where someone stands by"),
        ({"people_beyond": 10}, "At most 9 more people"),
    ],
)
def test_a_broken_booking_is_refused(differences, sentence):
    booking = make_booking()
    for name, value in differences.items():
        setattr(booking, name, value)

    refused(booking, sentence)


def test_nobody_shares_a_place_in_line():
    first = make_booking(state="standby", standby_place=1)
    second = make_booking(workshop=first.workshop, state="standby", standby_place=2)
    second.standby_place = 1

    refused(second, "Someone else has that place")


def test_a_booking_joined_into_another_is_given_back():
    booking = make_booking()
    booking.joined_into = make_booking(workshop=booking.workshop)

    refused(booking, "is given back")


def test_a_form_is_one_booking():
    key = uuid.uuid4()
    make_booking(form_key=key)

    with pytest.raises(IntegrityError), transaction.atomic():
        make_booking(form_key=key)


def make_offer(**differences):
    booking = make_booking(state="standby", standby_place=1)
    fields = {"workshop": booking.workshop, "booking": booking, "places": 1, "made_at": AT}
    return Offer(**fields | differences)


@pytest.mark.parametrize(
    ("differences", "sentence"),
    [
        ({"booking": None}, "to a booking, or to a person"),
        ({"places": 0}, "one place or more"),
        ({"closed_at": AT}, "open, or closed at an instant"),
        ({"outcome": "expired"}, "open, or closed at an instant"),
        ({"told_at": AT}, "counts from when the person was told"),
        ({"told_at": AT, "until_at": AT - DAY}, "cannot end before the person was told"),
    ],
)
def test_a_broken_offer_is_refused(differences, sentence):
    refused(make_offer(**differences), sentence)


def test_an_offer_is_not_made_to_a_booking_and_a_person_at_once():
    refused(make_offer(registration=make_registration()), "to a booking, or to a person")


def test_a_booking_has_one_open_offer():
    first = make_offer()
    first.save()

    refused(make_offer(booking=first.booking, workshop=first.workshop), "waits for an answer")


def test_a_person_has_one_open_offer():
    person = make_registration(state="standby", standby_place=1)
    make_offer(booking=None, registration=person).save()

    refused(make_offer(booking=None, registration=person), "waits for an answer")


def make_acceptance(**differences):
    registration = differences.pop("registration", None) or make_registration()
    fields = {
        "workshop": registration.workshop,
        "participant": registration.participant,
        "registration": registration,
        "typed_name": "Ada Holm",
        "accepted_at": AT,
    }
    text = differences.pop("text", None) or make_waiver_text()
    return WaiverAcceptance(text=text, **fields | differences)


def test_a_waiver_is_accepted_by_a_typed_name():
    refused(make_acceptance(typed_name=""), "filled in|typing one's name")


def test_a_person_accepts_once_at_a_workshop():
    first = make_acceptance()
    first.save()
    again = make_acceptance(registration=first.registration, text=first.text)
    again.registration = None

    refused(again, "already accepted")


def test_a_text_of_the_waiver_is_never_changed_or_removed():
    text = make_waiver_text()

    for act in (
        lambda: WaiverText.objects.update(body="Other"),
        WaiverText.objects.all().delete,
        text.delete,
    ):
        with pytest.raises(DatabaseError, match="never changed or removed"), transaction.atomic():
            act()


@pytest.mark.parametrize(
    ("differences", "sentence"),
    [({"body": ""}, "filled in|Write the text"), ({"version": 0}, "Write the text")],
)
def test_a_waiver_that_says_nothing_is_refused(differences, sentence):
    text = WaiverText(
        **{"version": 1, "language": "en", "body": "At my own risk", "entered_at": AT} | differences
    )

    refused(text, sentence)


def test_a_version_is_written_once_in_a_language():
    text = make_waiver_text()
    again = WaiverText(version=1, language="en", body="Other", entered_at=text.entered_at)

    refused(again, "already written in that language")


def test_a_new_version_is_in_force_and_the_same_words_are_no_new_one():
    write = {"by": make_member(), "at": AT}
    assert waivers.write_version(bodies={"en": "One", "es": "Uno"}, **write) == 1
    assert waivers.write_version(bodies={"en": "One", "es": "Uno"}, **write) == 1

    assert waivers.write_version(bodies={"en": "Two", "es": "Dos"}, **write) == 2

    assert {code: text.body for code, text in WaiverText.objects.current().items()} == {
        "en": "Two",
        "es": "Dos",
    }
    with pytest.raises(ValidationError, match="in every language"):
        waivers.write_version(bodies={"en": "Three", "es": " "}, **write)
