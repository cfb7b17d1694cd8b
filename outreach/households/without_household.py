"""Contact of people who are of no household on record: each app empties its own, once its time is over.

without_household.register("help", forgetting.empty_without_household)
"""

from collections.abc import Callable
from datetime import date
from typing import TypeAlias

# Rows that were over by a day: how many there are, and emptied unless it is only looked.
Emptying: TypeAlias = Callable[[date, bool], int]

_sources: dict[str, Emptying] = {}


def register(name: str, source: Emptying) -> None:
    """Add a source; the same name again replaces it."""
    _sources[name] = source


def count(over_by: date) -> int:
    """How many rows would be emptied."""
    return sum(source(over_by, True) for source in _sources.values())


def empty(over_by: date) -> int:
    """Empty them; how many they were."""
    return sum(source(over_by, False) for source in _sources.values())
