"""Whatever people and the office do in whatever order, nobody has a seat that is not there."""

import datetime

import pytest
from django.core.exceptions import ValidationError
from django.db import transaction
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from outreach.workshops import (
    answering_offers,
    changing,
    due,
    giving_back,
    offering,
    planning,
    registering,
    seats,
)
from outreach.workshops.models import Booking, Offer, Registration, Workshop
from tests.factories.households import make_participant
from tests.factories.staff import make_member
from tests.workshops.sign_ups import AT, make_public_workshop, sign_up

pytestmark = pytest.mark.django_db

STEPS = st.one_of(
    st.tuples(st.just("sign up"), st.integers(1, 4)),
    st.tuples(st.just("put on the list"), st.booleans()),
    st.tuples(
        st.sampled_from(["give back", "told", "accept", "decline", "give directly"]), st.integers(0, 9)
    ),
    st.tuples(st.just("change"), st.integers(0, 40)),
    st.tuples(st.just("hours pass"), st.integers(1, 30)),
    st.tuples(st.just("seats"), st.integers(1, 6)),
)


class Run:
    """One workshop of three seats and the hour at which something happens to it."""

    def __init__(self):
        self.workshop, self.by, self.at = make_public_workshop(seats=3), make_member(), AT

    def do(self, step, number):
        try:
            with transaction.atomic():
                getattr(self, step.replace(" ", "_"))(number)
        except ValidationError:
            pass  # refused is fine; done in part, or too much, is not

    def sign_up(self, people):
        sign_up(self.workshop, at=self.at, people=people)

    def put_on_the_list(self, has_mail):
        person = make_participant(email="ben@example.org" if has_mail else "")
        registering.register(workshop=self.workshop, participant=person, at=self.at, by=self.by)

    def give_back(self, number):
        for booking in Booking.objects.standing()[number : number + 1]:
            giving_back.give_back(booking=booking, because="themselves", at=self.at)

    def told(self, number):
        for offer in Offer.objects.open()[number : number + 1]:
            offering.told(offer.pk, self.at)

    def accept(self, number):
        for offer in Offer.objects.open()[number : number + 1]:
            answering_offers.accept(offer=offer, at=self.at)

    def decline(self, number):
        for offer in Offer.objects.open()[number : number + 1]:
            answering_offers.decline(offer=offer, at=self.at)

    def give_directly(self, number):
        for booking in Booking.objects.on_standby()[number : number + 1]:
            answering_offers.give_directly(speaker=booking, at=self.at, by=self.by)

    def change(self, number):
        for booking in Booking.objects.standing()[number // 4 : number // 4 + 1]:
            said = {name: getattr(booking, name) for name in changing.CHANGEABLE}
            changing.change(booking=booking, people=number % 4 + 1, said=said, at=self.at)

    def hours_pass(self, hours):
        self.at = min(self.at + datetime.timedelta(hours=hours), self.workshop.starts_at)
        due.settle_due(self.at)

    def seats(self, count):
        changed = Workshop.objects.get()
        changed.seats = count
        planning.correct(workshop=changed, by=self.by, at=self.at)


def seats_taken_by_hand():
    """Counted in Python, not by the query under test."""
    named = sum(one.state in ("booked", "attended", "walk_in") for one in Registration.objects.all())
    beyond = sum(one.people_beyond for one in Booking.objects.all() if one.state == "booked")
    return named + beyond + sum(one.places for one in Offer.objects.all() if one.outcome == "open")


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(steps=st.lists(STEPS, min_size=4, max_size=25))
def test_standby_never_overbooks(db, steps):
    with transaction.atomic():
        run = Run()
        for step, number in steps:
            run.do(step, number)

            workshop = Workshop.objects.get()
            taken = seats_taken_by_hand()
            assert taken == workshop.booked_people
            assert taken <= workshop.seats
            for booking in Booking.objects.exclude(state="cancelled"):
                theirs = {one.state for one in booking.registrations.all()} - {"cancelled"}
                assert theirs <= {booking.state}, (
                    "people of one booking have places together, or wait together"
                )
        assert seats.differing() == []
        transaction.set_rollback(True)
