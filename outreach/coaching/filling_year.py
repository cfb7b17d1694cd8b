"""A year of filling, resting and harvesting, for one bin or for two in turn, at the likely pace of a schedule.

Pure: no Django, and the day of the start is given.
"""

from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from outreach.coaching.bin_advice import Schedule

YEAR = timedelta(days=365)
# So long scraps can wait, in a pail with a lid or a freezer, until a bin is empty; common practice, no source.
MOST_WAIT = timedelta(weeks=6)
# How long a bin is emptied and used from; common practice, no source.
HARVEST = timedelta(weeks=3)
MOST_ROUNDS = 30


class Doing(StrEnum):
    """What a bin is at."""

    FILLING = "filling"
    RESTING = "resting"
    HARVEST = "harvest"


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """So long a bin is at one thing: from a day up to, not with, another. `place` counts from 0."""

    place: int
    doing: Doing
    from_on: date
    until_on: date


@dataclass(frozen=True, slots=True, kw_only=True)
class FillingYear:
    """What each of one or two bins is at through a year; `is_short`: two leave
    weeks in which none is empty."""

    begun_on: date
    bins: int
    is_short: bool
    stretches: tuple[Stretch, ...]

    @property
    def ends_on(self) -> date:
        """The day after the last of the year."""
        return self.begun_on + YEAR


def year_of(schedule: Schedule, *, on: date, first_below: date) -> FillingYear:
    """A year from a day. One bin that never fills is filled all along and emptied from below; of two, one
    rests while the other fills, and the next filling waits until a bin is empty again."""
    full, ready = schedule.first_full[1], schedule.first_ready[1]
    end = on + YEAR
    if full is None or ready is None:
        stretches = [
            Stretch(place=0, doing=Doing.FILLING, from_on=on, until_on=end),
            Stretch(place=0, doing=Doing.HARVEST, from_on=first_below, until_on=first_below + HARVEST),
        ]
        return FillingYear(begun_on=on, bins=1, is_short=False, stretches=_within(stretches, end))
    filled, rested = full - on, ready - full
    stretches, wait = _in_turn(on, filled, rested, end)
    return FillingYear(begun_on=on, bins=2, is_short=wait > MOST_WAIT, stretches=_within(stretches, end))


def _in_turn(on: date, filled: timedelta, rested: timedelta, end: date) -> tuple[list[Stretch], timedelta]:
    """The stretches of two bins, and the longest wait for an empty one."""
    empty_on, wanted_on, wait = [on, on], on, timedelta(0)
    stretches: list[Stretch] = []
    for turn in range(MOST_ROUNDS):
        place = turn % 2
        begins = max(wanted_on, empty_on[place])
        wait = max(wait, begins - wanted_on)
        if begins >= end:
            break
        full_on = begins + max(filled, timedelta(days=1))
        ready_on = full_on + rested
        for doing, start, stop in (
            (Doing.FILLING, begins, full_on),
            (Doing.RESTING, full_on, ready_on),
            (Doing.HARVEST, ready_on, ready_on + HARVEST),
        ):
            stretches.append(Stretch(place=place, doing=doing, from_on=start, until_on=stop))
        empty_on[place], wanted_on = ready_on + HARVEST, full_on
    return stretches, wait


def _within(stretches: list[Stretch], end: date) -> tuple[Stretch, ...]:
    return tuple(
        Stretch(place=one.place, doing=one.doing, from_on=one.from_on, until_on=min(one.until_on, end))
        for one in stretches
        if one.from_on < end
    )
