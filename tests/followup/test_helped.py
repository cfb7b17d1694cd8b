"""Helped against not helped: who is compared with whom, counted by hand."""

import datetime
import math
import random
from itertools import pairwise
from statistics import NormalDist

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


def history(rng, number):
    """Days of answers with what was said, and days of advice, of one household."""
    days = sorted(rng.sample(range(0, 700), rng.randint(1, 4)))
    said = [
        (FIRST + datetime.timedelta(days=day), rng.choice(["yes", "yes", "on_and_off", "stopped"]))
        for day in days
    ]
    advised = [FIRST + datetime.timedelta(days=rng.randrange(700)) for _ in range(number % 3 == 0)]
    return said, advised


def told_by_hand(histories):
    """(composts later, of how many) of the helped and of the others: the last step that began while composting."""
    groups = {True: [], False: []}
    for said, advised in histories:
        steps = [(a, b) for a, b in pairwise(said) if a[1] != "stopped"]
        if steps:
            (begun, _), (ended, word) = steps[-1]
            groups[any(begun < day <= ended for day in advised)].append(word != "stopped")
    return [(sum(groups[is_helped]), len(groups[is_helped])) for is_helped in (True, False)]


def wilson(kept, of, z):
    share = kept / of
    middle, half = share + z * z / (2 * of), z * math.sqrt(share * (1 - share) / of + z * z / (4 * of * of))
    return (middle - half) / (1 + z * z / of), (middle + half) / (1 + z * z / of)


def test_a_season_of_histories_comes_to_what_it_is_counted_by_hand(as_role):
    """Newcombe, R. G. (1998), Interval estimation for the difference between independent proportions: method 10."""
    rng = random.Random(1998)
    histories = [history(rng, number) for number in range(120)]
    for said, advised in histories:
        household = make_household()
        for day, composting in said:
            make_answer(
                household=household,
                answered_on=day,
                composting=composting,
                in_force_until_day=day.toordinal() + 1,
            )
        for day in advised:
            make_help_request(household=household, state="advised", advised_on=day)

    (kept, helped_of), (others_kept, others_of) = told_by_hand(histories)
    assert counts() == (helped_of, kept, others_of, others_kept)
    assert min(helped_of, others_of) >= helped.FEWEST

    z = NormalDist().inv_cdf(0.95)
    first, second = kept / helped_of, others_kept / others_of
    (low1, high1), (low2, high2) = wilson(kept, helped_of, z), wilson(others_kept, others_of, z)
    lower = first - second - math.hypot(first - low1, high2 - second)
    upper = first - second + math.hypot(high1 - first, second - low2)
    found = helped.compare().difference
    assert (found.difference, found.lower, found.upper) == pytest.approx(
        (first - second, lower, upper), rel=1e-9
    )
    html = as_role(Role.AUDITOR).get(reverse("helped_and_not")).content.decode()
    assert f"90 % interval {100 * lower:.0f} to {100 * upper:.0f}".replace("-", "−") in html
