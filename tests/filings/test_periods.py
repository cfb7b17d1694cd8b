"""Periods of every clock: their days, their codes, and that each day lies in one of each."""

import datetime
from datetime import date
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diversion.inputs import Quarter
from outreach.filings import period_codes, periods
from outreach.filings.periods import Kind
from outreach.households.months import later

days = st.dates(min_value=date(2000, 1, 1), max_value=date(2099, 12, 31))
months = st.integers(min_value=1, max_value=12)
DAY = datetime.timedelta(days=1)


@pytest.mark.parametrize(
    ("code", "month", "first", "last"),
    [
        ("2025-Q2", 7, date(2025, 4, 1), date(2025, 6, 30)),
        ("2025", 7, date(2025, 1, 1), date(2025, 12, 31)),
        # A fiscal year is named by the calendar year in which it ends: the federal one of 2026 begins on
        # 1 October 2025 (31 USC 1102).
        ("FY2026", 10, date(2025, 10, 1), date(2026, 9, 30)),
        ("FY2026-Q1", 10, date(2025, 10, 1), date(2025, 12, 31)),
        ("FY2026-Q4", 7, date(2026, 4, 1), date(2026, 6, 30)),
        ("FY2026-Q1", 2, date(2025, 2, 1), date(2025, 4, 30)),
        ("FY2026-Q4", 2, date(2025, 11, 1), date(2026, 1, 31)),
        ("FY2025", 1, date(2025, 1, 1), date(2025, 12, 31)),
        ("2025-02-15/2026-02-14", 7, date(2025, 2, 15), date(2026, 2, 14)),
    ],
)
def test_a_code_reads_as_its_days_and_stays_as_it_was_written(code, month, first, last):
    period = period_codes.read(code, starts_month=month)

    assert (period.first_day, period.last_day, period.code) == (first, last, code)
    assert period_codes.kind_of(code) == period.kind


@given(day=days, month=months)
def test_every_day_lies_in_one_period_of_each_clock(day, month):
    year = periods.fiscal_year_of(day, starts_month=month)
    quarters = [
        periods.fiscal_quarter(int(year.code[2:]), number, starts_month=month) for number in (1, 2, 3, 4)
    ]

    assert [one for one in quarters if one.first_day <= day <= one.last_day] == [
        periods.fiscal_quarter_of(day, starts_month=month)
    ]
    assert year.first_day <= day <= year.last_day
    calendar = [periods.calendar_quarter(Quarter(year=day.year, quarter=number)) for number in (1, 2, 3, 4)]
    assert sum(one.first_day <= day <= one.last_day for one in calendar) == 1


@given(year=st.integers(min_value=2000, max_value=2098), month=months)
def test_fiscal_quarters_lie_end_to_end_and_make_up_their_year(year, month):
    whole = periods.fiscal_year(year, starts_month=month)
    quarters = [periods.fiscal_quarter(year, number, starts_month=month) for number in (1, 2, 3, 4)]

    assert (quarters[0].first_day, quarters[-1].last_day) == (whole.first_day, whole.last_day)
    for one, following in pairwise(quarters):
        assert one.last_day + DAY == following.first_day
    assert whole.last_day + DAY == periods.fiscal_year(year + 1, starts_month=month).first_day
    assert whole.last_day.year == year


@given(first=days, length=st.integers(min_value=0, max_value=1500))
def test_slices_cover_each_day_once_and_each_lies_in_its_quarter(first, length):
    period = periods.of_days(first, first + datetime.timedelta(days=length))

    slices = period.slices

    assert slices[0].first_day == period.first_day
    assert slices[-1].last_day == period.last_day
    for one, following in pairwise(slices):
        assert one.after == following.first_day
        assert one.quarter.index + 1 == following.quarter.index
    for one in slices:
        assert {periods.quarter_of(one.first_day), periods.quarter_of(one.last_day)} == {one.quarter}
        assert (one.span == "") == (one == periods.whole(one.quarter))


@given(day=days, length=st.integers(min_value=0, max_value=1500), month=months)
def test_a_year_to_date_ends_with_its_period_and_is_no_longer_than_a_year(day, length, month):
    period = periods.of_days(day, day + datetime.timedelta(days=length))

    so_far = periods.year_to_date(period, starts_month=month)

    assert so_far.last_day == period.last_day
    assert so_far.first_day.day == 1
    assert so_far.first_day.month == month
    assert (so_far.last_day - so_far.first_day).days < 366


@given(day=days, months_away=st.integers(min_value=-600, max_value=600))
def test_months_are_counted_by_the_calendar(day, months_away):
    moved = later(day, months_away)

    assert (moved.year * 12 + moved.month) - (day.year * 12 + day.month) == months_away
    assert moved.day == day.day or (moved + DAY).day == 1


def test_the_year_to_date_of_a_calendar_year_is_that_year():
    so_far = periods.year_to_date(periods.calendar_year(2025), starts_month=7)

    assert (so_far.first_day, so_far.is_fiscal) == (date(2025, 1, 1), False)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("spring 2025", "2025-Q2 for a quarter"),
        ("2025-Q5", "not a period"),
        ("2025-02-30/2026-02-14", "does not exist"),
        ("2026-02-14/2025-02-15", "Swap the two"),
        ("2015-01-01/2025-12-31", "five years at most"),
        ("0000", "does not exist"),
    ],
)
def test_what_is_no_period_is_refused_in_a_sentence(text, words):
    with pytest.raises(periods.NotAPeriod, match=words):
        period_codes.read(text, starts_month=7)


def test_places_whose_fiscal_years_differ_have_no_fiscal_quarter_together():
    with pytest.raises(periods.NotAPeriod, match="different months"):
        period_codes.read("FY2026-Q1", starts_month=None)
    assert period_codes.read("2025-Q2", starts_month=None).kind == Kind.QUARTER
