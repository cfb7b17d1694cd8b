"""Periods of filings: calendar quarters, and the fiscal year to date that they belong to.

Other clocks (grant periods, quarters of a fiscal year that starts inside a calendar quarter) are not here.
"""

import re
from dataclasses import dataclass
from datetime import date, timedelta

from diversion.inputs import Quarter

MONTHS_PER_QUARTER = 3


class NotAQuarter(ValueError):
    """What was given does not name a quarter."""

    def __init__(self, text: str) -> None:
        self.text = text
        super().__init__(f"{text!r} is not a quarter. Write the year and the quarter, such as 2025-Q2.")


def read_quarter(text: str) -> Quarter:
    """Read '2025-Q2'.

    Raises
    ------
    NotAQuarter
    """
    match = re.fullmatch(r"\s*(\d{4})\s*-?\s*[Qq]([1-4])\s*", text)
    if not match:
        raise NotAQuarter(text)
    return Quarter(year=int(match[1]), quarter=int(match[2]))


def quarter_of(day: date) -> Quarter:
    return Quarter(year=day.year, quarter=(day.month - 1) // MONTHS_PER_QUARTER + 1)


def last_full_quarter(on: date) -> Quarter:
    """The quarter that had ended before that day."""
    return quarter_of(first_day(quarter_of(on)) - timedelta(days=1))


def shifted(quarter: Quarter, by: int) -> Quarter:
    """The quarter so many quarters later, or earlier."""
    year, number = divmod(quarter.index + by, 4)
    return Quarter(year=year, quarter=number + 1)


def first_day(quarter: Quarter) -> date:
    return date(quarter.year, MONTHS_PER_QUARTER * (quarter.quarter - 1) + 1, 1)


def last_day(quarter: Quarter) -> date:
    return first_day(shifted(quarter, 1)) - timedelta(days=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class YearToDate:
    """The quarters from the start of a year up to and including the one that is filed."""

    quarters: tuple[Quarter, ...]
    is_fiscal: bool

    @property
    def first_day(self) -> date:
        return first_day(self.quarters[0])


def year_to_date(quarter: Quarter, *, fiscal_year_starts_month: int) -> YearToDate:
    """The fiscal year so far, in whole calendar quarters.

    A fiscal year that starts inside a calendar quarter cannot be built from them; then the calendar year is
    taken, and `is_fiscal` is False so that the filing can say so.
    """
    aligned = (fiscal_year_starts_month - 1) % MONTHS_PER_QUARTER == 0
    starts = (fiscal_year_starts_month - 1) // MONTHS_PER_QUARTER if aligned else 0
    behind = (quarter.quarter - 1 - starts) % 4
    quarters = tuple(shifted(quarter, back) for back in range(-behind, 1))
    return YearToDate(quarters=quarters, is_fiscal=aligned)
