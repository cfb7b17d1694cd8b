"""Places that came free are offered in order, kept for a while, and then go to the next."""

import datetime

import pytest
from django.core.exceptions import ValidationError

from outreach.post.models import Message
from outreach.workshops import answering_offers, changing, due, giving_back, offering, planning, registering
from outreach.workshops.models import Booking, Offer, Registration
from tests.factories.households import make_participant
from tests.factories.staff import make_member
from tests.workshops.sign_ups import AT, HELD_ON, UTC, make_public_workshop, sign_up

pytestmark = [pytest.mark.django_db, pytest.mark.postgres]

HOUR = datetime.timedelta(hours=1)
DAY = datetime.timedelta(days=1)


@pytest.fixture
def full():
    """A workshop of two seats, both taken by one booking, and two more that stand by."""
    workshop = make_public_workshop(seats=2)
    return workshop, sign_up(workshop, people=2), sign_up(workshop), sign_up(workshop, people=2)


def give_back(booking, at=AT):
    giving_back.give_back(booking=booking, because=Booking.Because.THEMSELVES, at=at)


def offers_to(booking):
    return list(Offer.objects.of(booking))


def test_a_place_that_comes_free_is_offered_to_the_first_in_line(full):
    workshop, first, second, third = full

    give_back(first)

    assert [offer.places for offer in offers_to(second)] == [1]
    assert offers_to(third) == []
    workshop.refresh_from_db()
    assert workshop.booked_people == 1
    assert Message.objects.get(kind="workshops.offer").recipient_email == second.email


def test_the_time_to_answer_counts_from_when_the_person_was_told(full):
    _workshop, first, second, _third = full
    give_back(first)
    [offer] = offers_to(second)

    due.settle_due(AT + 3 * DAY)
    assert Offer.objects.get(pk=offer.pk).is_open

    offering.told(offer.pk, AT + 3 * DAY)
    due.settle_due(AT + 4 * DAY - HOUR)
    assert Offer.objects.get(pk=offer.pk).is_open
    due.settle_due(AT + 4 * DAY)
    assert Offer.objects.get(pk=offer.pk).outcome == "expired"


def test_told_twice_the_first_time_counts(full):
    _workshop, first, second, _third = full
    give_back(first)
    [offer] = offers_to(second)

    offering.told(offer.pk, AT)
    offering.told(offer.pk, AT + HOUR)

    assert Offer.objects.get(pk=offer.pk).told_at == AT


def test_an_offer_is_kept_until_the_start_at_most(full):
    _workshop, first, second, _third = full
    eve = datetime.datetime(2026, 5, 8, 22, tzinfo=UTC)
    give_back(first, eve)
    [offer] = offers_to(second)

    offering.told(offer.pk, eve)

    assert Offer.objects.get(pk=offer.pk).until_at == offer.workshop.starts_at


def test_an_offer_that_is_over_goes_to_the_next_and_is_said(full):
    workshop, first, second, third = full
    give_back(first)
    [offer] = offers_to(second)
    offering.told(offer.pk, AT)

    due.settle_due(AT + DAY)

    second.refresh_from_db()
    assert (second.state, second.cancelled_because) == ("cancelled", "offer_lapsed")
    assert [offer.places for offer in offers_to(third)] == [2]
    assert Message.objects.filter(kind="workshops.offer_expired").count() == 1
    workshop.refresh_from_db()
    assert workshop.booked_people == 2


def test_yes_books_everyone_of_the_booking(full):
    workshop, first, second, _third = full
    give_back(first)
    [offer] = offers_to(second)

    answering_offers.accept(offer=offer, at=AT + HOUR)
    answering_offers.accept(offer=offer, at=AT + HOUR)

    second.refresh_from_db()
    assert second.state == "booked"
    assert Registration.objects.of_booking(second).get().state == "booked"
    workshop.refresh_from_db()
    assert workshop.booked_people == 1


def test_no_asks_the_next(full):
    _workshop, first, second, third = full
    give_back(first)
    [offer] = offers_to(second)

    answering_offers.decline(offer=offer, at=AT + HOUR)

    assert len(offers_to(third)) == 1


def test_yes_after_the_time_is_over_is_refused_even_before_anyone_swept(full):
    _workshop, first, second, _third = full
    give_back(first)
    [offer] = offers_to(second)
    offering.told(offer.pk, AT)

    with pytest.raises(ValidationError, match="This offer is over"):
        answering_offers.accept(offer=offer, at=AT + DAY)


def test_nobody_is_asked_when_it_is_too_late_to_answer(full):
    workshop, first, second, _third = full

    give_back(first, workshop.starts_at - HOUR)

    assert offers_to(second) == []


def test_who_is_reached_by_letter_only_is_booked_at_once():
    workshop = make_public_workshop(seats=1)
    first = sign_up(workshop)
    second = sign_up(workshop, email="", reach_by="letter")

    give_back(first)

    second.refresh_from_db()
    assert second.state == "booked"


def test_a_person_put_on_standby_by_the_office_stands_in_the_same_line():
    workshop = make_public_workshop(seats=1)
    first = sign_up(workshop)
    person = make_participant(email="ben@example.org")
    waiting = registering.register(workshop=workshop, participant=person, at=AT, by=make_member())
    behind = sign_up(workshop)

    give_back(first)

    assert Offer.objects.get().registration == waiting
    assert waiting.standby_place < behind.standby_place


def test_the_office_books_who_stands_by_without_an_answer(full):
    _workshop, first, second, _third = full
    give_back(first)

    answering_offers.give_directly(speaker=second, at=AT, by=make_member())

    assert Booking.objects.get(pk=second.pk).state == "booked"
    assert [offer.outcome for offer in offers_to(second)] == ["accepted"]


def test_the_office_cannot_book_more_people_than_there_are_seats(full):
    _workshop, _first, second, _third = full

    with pytest.raises(ValidationError, match="More people booked than there are seats"):
        answering_offers.give_directly(speaker=second, at=AT, by=make_member())


def test_more_seats_are_offered_too(full):
    workshop, _first, second, third = full
    workshop.refresh_from_db()
    workshop.seats = 5

    planning.correct(workshop=workshop, by=make_member(), at=AT)

    assert (len(offers_to(second)), len(offers_to(third))) == (1, 1)


def test_who_leaves_standby_loses_an_offer_and_the_next_is_asked(full):
    workshop, first, second, third = full
    give_back(first)

    give_back(Booking.objects.get(pk=second.pk))

    assert [offer.outcome for offer in offers_to(second)] == ["withdrawn"]
    assert len(offers_to(third)) == 1
    workshop.refresh_from_db()
    assert workshop.booked_people == 2
    assert workshop.held_on == HELD_ON


def test_fewer_people_let_the_next_have_the_rest():
    workshop = make_public_workshop(seats=2)
    first = sign_up(workshop, people=2)
    second = sign_up(workshop)
    said = {name: getattr(first, name) for name in changing.CHANGEABLE}

    changing.change(booking=first, people=1, said=said, at=AT)

    assert len(offers_to(second)) == 1
