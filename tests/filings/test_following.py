"""How long households are known to have gone on, counted from their answers and stays."""

import datetime

import pytest

from diversion.curves import Held
from outreach.filings.following import gather_following
from outreach.filings.gathering import Scope
from tests.factories.bins import make_stay
from tests.factories.followup import make_answer
from tests.factories.households import make_household
from tests.factories.places import make_jurisdiction

pytestmark = [pytest.mark.django_db, pytest.mark.postgres]
FIRST, AFTER, CUT_OFF = (
    datetime.date(2024, 1, 1),
    datetime.date(2025, 7, 1),
    datetime.date(2025, 8, 14),
)


def in_month(months: float) -> datetime.date:
    """The day that many months of 30.4375 days after the first handout."""
    return FIRST + datetime.timedelta(days=round(months * 30.4375))


@pytest.fixture
def here():
    return make_jurisdiction()


def household(here, *, until=None, because=""):
    made = make_household(jurisdiction=here)
    days = {} if until is None else {"until_day": until.toordinal(), "ended_because": because}
    make_stay(household=made, from_day=FIRST.toordinal(), **days)
    return made


def followed(here):
    return gather_following(scope=Scope(jurisdiction=here), after=AFTER, cut_off=CUT_OFF)


def test_whoever_still_composts_was_held_until_the_answer(here):
    make_answer(household=household(here), answered_on=in_month(9))

    assert followed(here).held == (Held(months=9, quit=0, still=1),)


def test_a_day_of_stopping_that_was_said_counts_and_not_the_day_of_the_answer(here):
    make_answer(
        household=household(here), composting="stopped", stopped_on=in_month(5), answered_on=in_month(12)
    )

    assert followed(here).held == (Held(months=5, quit=1, still=0),)
    assert followed(here).has_days


def test_without_a_day_the_middle_since_it_last_composted_is_taken_and_said(here):
    home = household(here)
    made = make_answer(household=home, answered_on=in_month(6), in_force_until_day=in_month(12).toordinal())
    make_answer(household=home, composting="stopped", answered_on=in_month(12))

    assert made.in_force_until_day == in_month(12).toordinal()
    assert followed(here).held == (Held(months=9, quit=1, still=0),)
    assert followed(here).stopped_undated == 1


def test_a_bin_given_back_after_the_last_answer_is_a_day_of_stopping(here):
    home = household(here, until=in_month(10), because="returned")
    make_answer(household=home, answered_on=in_month(6))

    assert followed(here).held == (Held(months=10, quit=1, still=0),)
    assert followed(here).stopped_undated == 0


def test_a_bin_given_back_tells_when_someone_stopped_who_did_not_say(here):
    home = household(here, until=in_month(4), because="returned")
    make_answer(household=home, composting="stopped", answered_on=in_month(6))

    assert followed(here).held == (Held(months=4, quit=1, still=0),)


def test_whoever_moved_is_held_until_last_heard_of(here):
    home = household(here, until=in_month(10), because="moved")
    make_answer(household=home, answered_on=in_month(6))

    assert followed(here).held == (Held(months=6, quit=0, still=1),)


def test_the_silent_and_what_is_later_than_the_cut_off_tell_nothing(here):
    household(here, until=in_month(10), because="returned")
    make_answer(household=household(here), answered_on=CUT_OFF + datetime.timedelta(days=1))

    assert followed(here).held == ()


def test_households_with_a_bin_are_counted_by_months_at_the_end_of_the_period(here):
    household(here)
    household(here)
    household(here, until=in_month(10), because="returned")
    household(make_jurisdiction())

    assert followed(here).in_use == ((17, 2),)
    everywhere = gather_following(scope=Scope(jurisdiction=None), after=AFTER, cut_off=CUT_OFF)
    assert everywhere.in_use == ((17, 3),)
