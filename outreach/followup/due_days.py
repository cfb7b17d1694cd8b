"""Months after a handout as calendar days: when a wave is due, and which handouts that makes due."""

import calendar
from datetime import date
from functools import lru_cache

MONTHS_A_YEAR = 12


@lru_cache(maxsize=65_536)
def due_on(handed_on: date, months: int) -> date:
    """The same day of the month, so many months later; the last day where the month is shorter."""
    year, month = _later(handed_on, months)
    return date(year, month, min(handed_on.day, calendar.monthrange(year, month)[1]))


def latest_handout_due(on: date, months: int) -> date:
    """The last handout day whose wave of so many months is due by `on`: `due_on` turned round."""
    year, month = _later(on, -months)
    last_day = calendar.monthrange(year, month)[1]
    is_last_of_month = on.day == calendar.monthrange(on.year, on.month)[1]
    return date(year, month, last_day if is_last_of_month else min(on.day, last_day))


def _later(day: date, months: int) -> tuple[int, int]:
    count = day.year * MONTHS_A_YEAR + day.month - 1 + months
    return count // MONTHS_A_YEAR, count % MONTHS_A_YEAR + 1
