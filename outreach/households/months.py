"""Whole months as calendar days."""

import calendar
from datetime import date

MONTHS_A_YEAR = 12


def later(day: date, months: int) -> date:
    """The same day of the month so many months later; the last day where that month is shorter."""
    count = day.year * MONTHS_A_YEAR + day.month - 1 + months
    year, month = count // MONTHS_A_YEAR, count % MONTHS_A_YEAR + 1
    return date(year, month, min(day.day, calendar.monthrange(year, month)[1]))
