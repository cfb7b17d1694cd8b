"""Months as calendar days."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from outreach.followup.due_days import due_on, latest_handout_due

days = st.dates(date(1990, 1, 1), date(2090, 1, 1))
months = st.integers(1, 120)


@pytest.mark.parametrize(
    ("handed_on", "after", "due"),
    [
        (date(2025, 5, 9), 6, date(2025, 11, 9)),
        (date(2025, 8, 31), 6, date(2026, 2, 28)),
        (date(2023, 8, 31), 6, date(2024, 2, 29)),
        (date(2024, 2, 29), 12, date(2025, 2, 28)),
        (date(2025, 12, 1), 1, date(2026, 1, 1)),
    ],
)
def test_a_wave_is_due_on_the_same_day_of_a_later_month(handed_on, after, due):
    assert due_on(handed_on, after) == due


@given(days, months)
def test_the_latest_handout_that_is_due_is_due_and_the_next_day_is_not(on, after):
    latest = latest_handout_due(on, after)

    assert due_on(latest, after) <= on
    assert due_on(date.fromordinal(latest.toordinal() + 1), after) > on


@given(days, months)
def test_a_later_handout_is_never_due_earlier(handed_on, after):
    assert due_on(handed_on, after) <= due_on(date.fromordinal(handed_on.toordinal() + 1), after)
