"""Helped against not helped: who is compared with whom, counted by hand."""

import datetime

import pytest
from django.urls import reverse

from outreach.followup import helped
from outreach.staff.roles import Role
from tests.factories.coaching import make_help_request
from tests.factories.followup import make_answer
from tests.factories.households import make_household

pytestmark = pytest.mark.django_db

FIRST, BETWEEN, LATER = (datetime.date(2025, month, 1) for month in (3, 6, 9))


def answered(*said, advised_on=None, kind="problem"):
    """A household that said so on the first day, the later one, and so on; advised on a day, or not."""
    household = make_household()
    days = (FIRST, LATER, datetime.date(2026, 3, 1))
    for day, composting in zip(days, said, strict=False):
        make_answer(
            household=household,
            answered_on=day,
            composting=composting,
            in_force_until_day=day.toordinal() + 1,
        )
    if advised_on:
        objector = {"objector": "landlord"} if kind == "objection" else {}
        make_help_request(household=household, state="advised", advised_on=advised_on, kind=kind, **objector)
    return household


def counts():
    found = helped.compare()
    return (found.helped, found.helped_kept, found.others, found.others_kept)


def test_advice_between_two_answers_is_help():
    answered("yes", "yes", advised_on=BETWEEN)
    answered("yes", "stopped", advised_on=BETWEEN)
    answered("yes", "on_and_off")
    answered("yes", "stopped")

    assert counts() == (2, 1, 2, 1)


@pytest.mark.parametrize("day", [FIRST, datetime.date(2025, 9, 2)])
def test_advice_before_or_after_is_none(day):
    answered("yes", "yes", advised_on=day)

    assert counts() == (0, 0, 1, 1)


def test_whoever_had_stopped_or_answered_once_is_not_compared():
    answered("stopped", "stopped")
    answered("yes")

    assert counts() == (0, 0, 0, 0)


def test_a_household_counts_once_by_its_latest_two_answers():
    answered("yes", "yes", "stopped", advised_on=BETWEEN)

    assert counts() == (0, 0, 1, 0)


def test_an_objection_is_no_help_with_composting():
    answered("yes", "yes", advised_on=BETWEEN, kind="objection")

    assert counts() == (0, 0, 1, 1)


def test_too_few_are_not_compared(as_coordinator):
    answered("yes", "yes", advised_on=BETWEEN)

    assert helped.compare().difference is None
    assert "Too few to compare: 1 helped" in as_coordinator.get(reverse("helped_and_not")).content.decode()


def test_the_page_gives_both_shares_the_difference_and_the_warning(as_role):
    for number in range(10):
        answered("yes", "yes" if number < 9 else "stopped", advised_on=BETWEEN)
        answered("yes", "yes" if number < 3 else "stopped")

    html = as_role(Role.CITY_ANALYST).get(reverse("helped_and_not")).content.decode()

    # 9/10 less 3/10; limits by statsmodels, confint_proportions_2indep(9, 10, 3, 10, method="newcomb", alpha=.1).
    assert "60 percentage points, 90 % interval 24 to 79" in html
    assert "They chose themselves" in html
