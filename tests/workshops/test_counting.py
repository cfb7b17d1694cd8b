"""Counts for filings: each person and household once in the period."""

import datetime

import pytest

from outreach.workshops import counting
from outreach.workshops.counting import WorkshopCounts
from tests.factories.households import make_household, make_participant
from tests.factories.places import make_jurisdiction, make_venue
from tests.factories.workshops import make_registration, make_workshop

pytestmark = [pytest.mark.django_db, pytest.mark.postgres]
APRIL, JUNE = datetime.date(2025, 4, 1), datetime.date(2025, 6, 30)


def _held(place=None, **differences):
    venue = make_venue(jurisdiction=place or make_jurisdiction())
    return make_workshop(**{"state": "held", "venue": venue} | differences)


def test_a_person_met_twice_is_counted_once_and_attends_twice():
    """By hand: Ada comes twice, the second time recorded in another household and linked; Bao, of Ada's
    first household, once; Cleo missed it. 3 attendances, 2 people, 2 households, 5 + 1 unlisted."""
    town = make_jurisdiction()
    first, second = _held(town, headcount_unlisted=5), _held(town, headcount_unlisted=1)
    home = make_household()
    ada = make_participant(household=home)
    ada_elsewhere = make_participant(same_person_as=ada)
    make_registration(workshop=first, participant=ada, state="attended")
    make_registration(workshop=second, participant=ada_elsewhere, state="walk_in", is_outside_area=True)
    make_registration(workshop=second, participant=make_participant(household=home), state="attended")
    make_registration(workshop=second, state="missed")

    counts = counting.counts_between(APRIL, JUNE)

    assert counts == WorkshopCounts(
        workshops=2, attendances=3, people=2, households=2, outside_area=1, unlisted=6
    )
    assert counting.counts_by_jurisdiction(APRIL, JUNE) == {town.pk: counts}
    assert counting.people_between(APRIL, JUNE).count() == 2


def test_merged_households_are_one():
    workshop = _held()
    root = make_household()
    merged = make_household(merged_into=root)
    for home in (root, merged):
        make_registration(workshop=workshop, participant=make_participant(household=home), state="attended")

    assert counting.counts_between(APRIL, JUNE).households == 1


def test_only_workshops_that_took_place_in_the_period_count():
    _held(held_on=APRIL)
    _held(held_on=JUNE)
    _held(held_on=datetime.date(2025, 3, 31))
    _held(held_on=datetime.date(2025, 7, 1))
    _held(state="planned")
    cancelled = _held(state="cancelled", state_reason="Storm.")
    make_registration(workshop=cancelled, state="attended")

    assert counting.counts_between(APRIL, JUNE) == WorkshopCounts(workshops=2)


def test_a_jurisdiction_counts_its_own_workshops():
    here, there = make_jurisdiction(), make_jurisdiction()
    make_registration(workshop=_held(here), state="attended")
    make_registration(workshop=_held(there), state="attended")

    counts = counting.counts_between(APRIL, JUNE, jurisdiction=here)

    assert (counts.workshops, counts.attendances) == (1, 1)
    assert set(counting.counts_by_jurisdiction(APRIL, JUNE)) == {here.pk, there.pk}


def test_nothing_is_counted_where_nothing_was_held():
    assert counting.counts_between(APRIL, JUNE) == WorkshopCounts()
