"""Months after a handout as calendar days: when a wave is due, and which handouts that makes due."""

import calendar
from datetime import date
from functools import lru_cache

from outreach.households.months import later


@lru_cache(maxsize=65_536)
def due_on(handed_on: date, months: int) -> date:
    """The same day of the month, so many months later; the last day where the month is shorter."""
    return later(handed_on, months)


def latest_handout_due(on: date, months: int) -> date:
    """The last handout day whose wave of so many months is due by `on`: `due_on` turned round."""
    day = later(on, -months)
    return day.replace(day=_days_of_month(day)) if on.day == _days_of_month(on) else day


def _days_of_month(day: date) -> int:
    return calendar.monthrange(day.year, day.month)[1]
