"""Periods of filings on every clock: calendar and fiscal quarters and years, and any days of a grant.

A period is counted in slices: the calendar quarters that it touches, each clipped to its days, so that a season
and a filing line always belong to one calendar quarter. Pure: nothing here reads a record or a clock.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from diversion.inputs import Quarter
from outreach.households.months import later

MONTHS_PER_QUARTER, MONTHS_PER_YEAR, QUARTERS_PER_YEAR = 3, 12, 4
DAY = timedelta(days=1)
LONGEST = timedelta(days=5 * 366)
# As they stand in codes; the database holds drafts to it.
CODE = r"^([0-9]{4}(-Q[1-4])?|FY[0-9]{4}(-Q[1-4])?|[0-9]{4}-[0-9]{2}-[0-9]{2}/[0-9]{4}-[0-9]{2}-[0-9]{2})$"


class NotAPeriod(ValueError):
    """What was given does not name a period, in words for the person who gave it."""


class NotAQuarter(NotAPeriod):
    """What was given does not name a quarter."""

    def __init__(self, text: str) -> None:
        self.text = text
        super().__init__(f"{text!r} is not a quarter. Write the year and the quarter, such as 2025-Q2.")


class Kind(StrEnum):
    """Which clock a period belongs to."""

    QUARTER = "quarter"
    YEAR = "year"
    FISCAL_QUARTER = "fiscal_quarter"
    FISCAL_YEAR = "fiscal_year"
    DAYS = "days"


@dataclass(frozen=True, slots=True, kw_only=True)
class Slice:
    """A calendar quarter, or those of its days that belong to a period; both days included."""

    quarter: Quarter
    first_day: date
    last_day: date

    @property
    def after(self) -> date:
        """The day after the last."""
        return self.last_day + DAY

    @property
    def span(self) -> str:
        """'' for the whole quarter, else its days as an interval."""
        return "" if self == whole(self.quarter) else interval(self.first_day, self.last_day)

    @property
    def name(self) -> str:
        """The quarter, or its days in words."""
        return f"{in_words(self.first_day)} to {in_words(self.last_day)}" if self.span else str(self.quarter)

    def clipped(self, first: date, last: date) -> "Slice":
        return Slice(quarter=self.quarter, first_day=first, last_day=last)

    def __str__(self) -> str:
        return self.span or str(self.quarter)


@dataclass(frozen=True, slots=True, kw_only=True)
class Period:
    """What a filing is about: its clock, its days, both included, and its code."""

    kind: Kind
    first_day: date
    last_day: date
    code: str

    @property
    def after(self) -> date:
        return self.last_day + DAY

    @property
    def slices(self) -> tuple[Slice, ...]:
        return tuple(slices_between(self.first_day, self.last_day))

    @property
    def name(self) -> str:
        """In words, as in the title of a filing."""
        match self.kind:
            case Kind.FISCAL_QUARTER:
                return f"quarter {self.code[-1]} of fiscal year {self.code[2:6]}"
            case Kind.FISCAL_YEAR:
                return f"fiscal year {self.code[2:]}"
            case Kind.DAYS:
                return f"{in_words(self.first_day)} to {in_words(self.last_day)}"
            case _:
                return self.code

    def __str__(self) -> str:
        return self.code


@dataclass(frozen=True, slots=True, kw_only=True)
class YearToDate:
    """The days from the start of a year up to the last of the period that is filed."""

    first_day: date
    last_day: date
    is_fiscal: bool

    @property
    def slices(self) -> tuple[Slice, ...]:
        return tuple(slices_between(self.first_day, self.last_day))


def in_words(day: date) -> str:
    return f"{day.day} {day:%B %Y}"


def interval(first: date, last: date) -> str:
    """Two days as ISO 8601 writes an interval, the last one included."""
    return f"{first.isoformat()}/{last.isoformat()}"


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
    return quarter_of(first_day(quarter_of(on)) - DAY)


def shifted(quarter: Quarter, by: int) -> Quarter:
    """The quarter so many quarters later, or earlier."""
    year, number = divmod(quarter.index + by, QUARTERS_PER_YEAR)
    return Quarter(year=year, quarter=number + 1)


def first_day(quarter: Quarter) -> date:
    return date(quarter.year, MONTHS_PER_QUARTER * (quarter.quarter - 1) + 1, 1)


def last_day(quarter: Quarter) -> date:
    return first_day(shifted(quarter, 1)) - DAY


def whole(quarter: Quarter) -> Slice:
    return Slice(quarter=quarter, first_day=first_day(quarter), last_day=last_day(quarter))


def slices_between(first: date, last: date) -> Iterator[Slice]:
    """The calendar quarters of these days, both included, each clipped to them; none where last is before first."""
    while first <= last:
        quarter = quarter_of(first)
        end = min(last_day(quarter), last)
        yield Slice(quarter=quarter, first_day=first, last_day=end)
        first = end + DAY


def calendar_quarter(quarter: Quarter) -> Period:
    return Period(
        kind=Kind.QUARTER, first_day=first_day(quarter), last_day=last_day(quarter), code=str(quarter)
    )


def calendar_year(year: int) -> Period:
    return Period(kind=Kind.YEAR, first_day=date(year, 1, 1), last_day=date(year, 12, 31), code=f"{year:04d}")


def fiscal_year(year: int, *, starts_month: int) -> Period:
    """The fiscal year that ends in a calendar year, by which it is named (common practice in the United States)."""
    first = date(year - (starts_month > 1), starts_month, 1)
    last = later(first, MONTHS_PER_YEAR) - DAY
    return Period(kind=Kind.FISCAL_YEAR, first_day=first, last_day=last, code=f"FY{year:04d}")


def fiscal_quarter(year: int, number: int, *, starts_month: int) -> Period:
    """Quarter 1 to 4 of a fiscal year."""
    first = later(fiscal_year(year, starts_month=starts_month).first_day, MONTHS_PER_QUARTER * (number - 1))
    last = later(first, MONTHS_PER_QUARTER) - DAY
    code = f"FY{year:04d}-Q{number}"
    return Period(kind=Kind.FISCAL_QUARTER, first_day=first, last_day=last, code=code)


def of_days(first: date, last: date) -> Period:
    """Any two days, as a grant has them.

    Raises
    ------
    NotAPeriod
    """
    if last < first:
        raise NotAPeriod(f"{in_words(last)} is before {in_words(first)}. Swap the two?")
    if last - first >= LONGEST:
        raise NotAPeriod("A period has five years at most. File the years of a longer grant one by one.")
    return Period(kind=Kind.DAYS, first_day=first, last_day=last, code=interval(first, last))


def fiscal_year_of(day: date, *, starts_month: int) -> Period:
    later = day.month >= starts_month > 1
    return fiscal_year(day.year + later, starts_month=starts_month)


def fiscal_quarter_of(day: date, *, starts_month: int) -> Period:
    year = fiscal_year_of(day, starts_month=starts_month)
    months = (day.year - year.first_day.year) * MONTHS_PER_YEAR + day.month - year.first_day.month
    return fiscal_quarter(int(year.code[2:]), months // MONTHS_PER_QUARTER + 1, starts_month=starts_month)


@dataclass(frozen=True, slots=True, kw_only=True)
class QuartersToDate:
    """The whole quarters from the start of a year up to and including one, for looking ahead."""

    quarters: tuple[Quarter, ...]
    is_fiscal: bool


def quarters_to_date(quarter: Quarter, *, starts_month: int) -> QuartersToDate:
    """The fiscal year so far in whole quarters; the calendar year where it starts inside a quarter."""
    aligned = (starts_month - 1) % MONTHS_PER_QUARTER == 0
    starts = (starts_month - 1) // MONTHS_PER_QUARTER if aligned else 0
    behind = (quarter.quarter - 1 - starts) % QUARTERS_PER_YEAR
    quarters = tuple(shifted(quarter, back) for back in range(-behind, 1))
    return QuartersToDate(quarters=quarters, is_fiscal=aligned)


def year_to_date(period: Period, *, starts_month: int | None) -> YearToDate:
    """The fiscal year in which a period ends, up to its last day.

    The calendar year for a period of the calendar year, and where `starts_month` is None: jurisdictions together
    whose fiscal years start in different months.
    """
    is_fiscal = starts_month is not None and period.kind != Kind.YEAR
    month = starts_month if is_fiscal and starts_month else 1
    year = fiscal_year_of(period.last_day, starts_month=month)
    return YearToDate(first_day=year.first_day, last_day=period.last_day, is_fiscal=is_fiscal)
