"""Confirming, changing, giving back and joining bookings."""

import datetime

import pytest
from django.core.exceptions import ValidationError

from outreach.households import merging
from outreach.post.models import Message
from outreach.workshops import changing, due, giving_back, joining, registering
from outreach.workshops.models import Booking, Offer, Registration
from tests.factories.staff import make_member
from tests.workshops.sign_ups import AT, make_public_workshop, sign_up

pytestmark = [pytest.mark.django_db, pytest.mark.postgres]

DAY = datetime.timedelta(days=1)
# May 6, of a workshop on May 9.
BY = datetime.date(2026, 5, 6)
AFTER = datetime.datetime(2026, 5, 7, 9, tzinfo=datetime.UTC)


def change(booking, **differences):
    said = {name: getattr(booking, name) for name in changing.CHANGEABLE} | differences
    people = said.pop("people", booking.people)
    return changing.change(booking=booking, people=people, said=said, at=AT)


def test_places_that_were_asked_for_and_not_confirmed_go_back():
    workshop = make_public_workshop(confirm_by_on=BY)
    quiet, keen, unasked = sign_up(workshop), sign_up(workshop), sign_up(workshop)
    for booking in (quiet, keen):
        changing.told(booking.pk, AT)
    changing.confirm(booking=keen, at=AT)

    due.settle_due(AFTER)
    due.settle_due(AFTER)

    states = [Booking.objects.get(pk=one.pk).state for one in (quiet, keen, unasked)]
    assert states == ["cancelled", "booked", "booked"]
    assert Booking.objects.get(pk=quiet.pk).cancelled_because == "not_confirmed"
    assert Message.objects.filter(kind="workshops.given_back").count() == 1


def test_who_was_told_on_the_last_day_has_a_day_to_confirm():
    workshop = make_public_workshop(confirm_by_on=BY)
    booking = sign_up(workshop)
    changing.told(booking.pk, AFTER - DAY / 2)

    due.settle_due(AFTER)
    assert Booking.objects.get(pk=booking.pk).state == "booked"
    due.settle_due(AFTER + DAY / 2)
    assert Booking.objects.get(pk=booking.pk).state == "cancelled"


def test_people_are_asked_to_confirm_before_the_day_once():
    workshop = make_public_workshop(confirm_by_on=BY)
    sign_up(workshop)

    for days in range(5):
        due.settle_due(AT + days * DAY)

    assert Message.objects.filter(kind="workshops.please_confirm").count() == 1


def test_a_reminder_comes_once_two_days_before_and_not_to_who_stands_by():
    workshop = make_public_workshop(seats=1)
    booking = sign_up(workshop)
    sign_up(workshop)

    due.settle_due(workshop.starts_at - 2 * DAY - DAY / 24)
    assert not Message.objects.filter(kind="workshops.reminder").exists()
    for hours in (48, 24, 1):
        due.settle_due(workshop.starts_at - datetime.timedelta(hours=hours))

    assert Message.objects.get(kind="workshops.reminder").recipient_email == booking.email


def test_given_back_twice_is_once_and_takes_its_messages_along():
    workshop = make_public_workshop()
    booking = sign_up(workshop, people=2)

    for _time in range(2):
        giving_back.give_back(booking=booking, because="themselves", at=AT)

    workshop.refresh_from_db()
    assert workshop.booked_people == 0
    assert Message.objects.get(kind="workshops.confirmation").state == "withdrawn"
    assert Message.objects.filter(kind="workshops.given_back").count() == 1


def test_a_booking_of_which_someone_came_stays_on_the_list():
    booking = sign_up(make_public_workshop())
    registering.mark_attended(registration=Registration.objects.get(), at=AT + 7 * DAY, by=make_member())

    with pytest.raises(ValidationError, match="came to the workshop"):
        giving_back.give_back(booking=booking, because="themselves", at=AT + 7 * DAY)


def test_the_office_takes_who_signed_up_off_the_list_and_the_others_with_them():
    workshop = make_public_workshop()
    booking = sign_up(workshop, names=("Ada Holm", "Ben Holm"), people=3)
    lead = Registration.objects.get(participant__full_name="Ada Holm")

    registering.cancel(registration=lead, at=AT, by=make_member())

    workshop.refresh_from_db()
    assert Booking.objects.get(pk=booking.pk).state == "cancelled"
    assert workshop.booked_people == 0


def test_more_people_need_free_places():
    workshop = make_public_workshop(seats=3)
    booking = sign_up(workshop)
    sign_up(workshop)

    change(booking, people=2)
    with pytest.raises(ValidationError, match="All places are taken"):
        change(Booking.objects.with_people().get(pk=booking.pk), people=3)

    workshop.refresh_from_db()
    assert workshop.booked_people == 3


def test_fewer_people_leave_out_those_named_last():
    booking = sign_up(make_public_workshop(), names=("Ada Holm", "Ben Holm", "Cy Holm"), people=4)

    change(booking, people=2)

    there = Registration.objects.on_the_list().values_list("participant__full_name", flat=True)
    assert sorted(there) == ["Ada Holm", "Ben Holm"]
    assert Booking.objects.get().people_beyond == 0


def test_contact_and_needs_are_written_down():
    booking = sign_up(make_public_workshop())

    change(booking, reach_by="phone", phone="555-555-0142", needs="a seat in front")

    booking.refresh_from_db()
    assert (booking.reach_by, booking.phone, booking.needs) == ("phone", "555-555-0142", "a seat in front")


def test_a_way_to_be_reached_that_was_not_given_is_refused():
    booking = sign_up(make_public_workshop())

    with pytest.raises(ValidationError, match="Give the phone number"):
        change(booking, reach_by="phone")


def test_a_booking_that_was_given_back_is_not_changed():
    booking = sign_up(make_public_workshop())
    giving_back.give_back(booking=booking, because="themselves", at=AT)

    with pytest.raises(ValidationError, match="was given back"):
        change(booking, people=2)
    with pytest.raises(ValidationError, match="was given back"):
        changing.confirm(booking=booking, at=AT)


def same_household(workshop):
    first = sign_up(workshop, names=("Ada Holm",), people=2, street="5 Reed Street")
    second = sign_up(workshop, names=("Ben Holm",), people=2, street="5 Reed Street")
    return first, second


def test_two_bookings_joined_give_back_what_was_counted_twice():
    workshop = make_public_workshop(seats=4)
    first, second = same_household(workshop)
    waiting = sign_up(workshop)

    joining.join(kept=first, other=second, people=2, by=make_member(), at=AT)

    workshop.refresh_from_db()
    second.refresh_from_db()
    assert workshop.booked_people == 3
    assert (second.cancelled_because, second.joined_into) == ("joined", first)
    assert Registration.objects.of_booking(first).booked().count() == 2
    assert Offer.objects.get().booking == waiting


def test_whoever_is_named_in_either_comes():
    workshop = make_public_workshop()
    first, second = same_household(workshop)

    with pytest.raises(ValidationError, match="2 people are named"):
        joining.join(kept=first, other=second, people=1, by=make_member(), at=AT)

    assert Booking.objects.standing().count() == 2


def test_bookings_of_two_households_are_not_joined():
    workshop = make_public_workshop()
    first, second = sign_up(workshop), sign_up(workshop)

    with pytest.raises(ValidationError, match="two households"):
        joining.join(kept=first, other=second, people=1, by=make_member(), at=AT)


def test_bookings_follow_a_merge_and_come_back():
    workshop = make_public_workshop()
    first, second = sign_up(workshop), sign_up(workshop)

    record = merging.merge(
        kept=first.household, absorbed=second.household, by=make_member(), at=AT, reason="Same people"
    )
    assert Booking.objects.get(pk=second.pk).counted_under == first.household
    merging.unmerge(record=record, by=make_member(), at=AT)

    assert Booking.objects.get(pk=second.pk).counted_under == second.household
