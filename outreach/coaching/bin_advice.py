"""Which bin, how large, one or two, and when: sums for a resident's place and a week's scraps.

What is put in shrinks evenly in ratio (1 → s over the time T in the bin), so a steady inflow q takes up
q·T·(1 − s)/ln(1/s): inflow × time × mean share left. Every number is from published.toml. Pure: no Django,
and today is given.
"""

import math
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from diversion.conversions import DAYS_PER_WEEK, LITRES_PER_US_GALLON
from diversion.errors import DiversionError, require_within
from outreach.coaching.families import Family, Ground, Place, Space, Suitability, Sun, families_for
from outreach.coaching.mix import Span
from outreach.coaching.published import Known, published

__all__ = ["Advice", "Family", "Ground", "Needs", "NothingExpected", "Schedule", "Space", "Sun", "Tending"]

MOST_LITRES_A_WEEK = 2_000
BIN_LITRES = (20, 5_000)
NEVER_WEEKS = 520  # a bin not full after ten years is not filled


class Tending(StrEnum):
    """Turned every week or so, or left to rest."""

    TURNED = "turned"
    RESTING = "resting"


class NothingExpected(DiversionError):
    """Neither food nor yard trimmings are expected, so there is nothing to size a bin for."""

    def __init__(self) -> None:
        super().__init__("Nothing to put in yet. Give how much food or how many yard trimmings a week.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Needs:
    """What a household expects.

    Parameters
    ----------
    ground, sun, space : Ground, Sun, Space
    tending : Tending
    food_litres, yard_litres : float
        Each week, as filled into a container, 0 to 2000. [L/week]
    bin_litres : float or None
        Size of the bin, 20 to 5000; None: the usual one for the space. [L]
    """

    ground: Ground
    sun: Sun
    space: Space
    tending: Tending
    food_litres: float
    yard_litres: float
    bin_litres: float | None = None

    def __post_init__(self) -> None:
        require_within("food in litres a week", self.food_litres, 0, MOST_LITRES_A_WEEK)
        require_within("yard trimmings in litres a week", self.yard_litres, 0, MOST_LITRES_A_WEEK)
        if self.bin_litres is not None:
            require_within("size of the bin in litres", self.bin_litres, *BIN_LITRES)
        if not self.food_litres + self.yard_litres:
            raise NothingExpected

    @property
    def place(self) -> Place:
        """What the choice of a family hangs on."""
        return Place(
            ground=self.ground,
            sun=self.sun,
            space=self.space,
            has_food=bool(self.food_litres),
            has_yard=bool(self.yard_litres),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Schedule:
    """Bins of one size filled in turn, from a day on; each date as earliest, likely, latest.

    first_full, first_ready, swap : tuples of date or None
        First bin full; its compost ready; second bin full, so that the first must be empty. None: so late
        that the bin is never filled before its own compost can be taken from below.
    bins : int
        How many in turn, one being filled and the others at rest, at the likely pace.
    """

    bin_litres: float
    first_full: tuple[date | None, ...]
    first_ready: tuple[date | None, ...]
    swap: tuple[date | None, ...]
    bins: int

    @property
    def bin_gallons(self) -> float:
        """Size of each. [US gallons]"""
        return self.bin_litres / LITRES_PER_US_GALLON

    @property
    def one_is_enough(self) -> bool:
        """Whether one bin never fills at the likely pace."""
        return self.first_full[1] is None


@dataclass(frozen=True, slots=True, kw_only=True)
class Advice:
    """Everything for one place: families best first, inflow with browns [L/week], time [weeks], room [L].

    first_below : the day the first put in is likely finished at the bottom, full bin or not.
    """

    families: tuple[Suitability, ...]
    inflow_litres: Span
    weeks: Known
    capacity_litres: Span
    schedule: Schedule
    first_below: date

    @property
    def capacity_gallons(self) -> float:
        """Likely room. [US gallons]"""
        return self.capacity_litres.typical / LITRES_PER_US_GALLON

    @property
    def inflow_gallons(self) -> float:
        """Likely inflow. [US gallons/week]"""
        return self.inflow_litres.typical / LITRES_PER_US_GALLON


def advise(needs: Needs, *, on: date, per_green: float | None = None) -> Advice:
    """Families, room needed and dates for a household that starts on a day.

    `per_green` is the programme's own rule of browns to greens by volume; None: two, common practice.
    """
    inflow = inflow_of(needs, per_green=per_green)
    weeks = published().guidance[f"weeks_{needs.tending}"]
    return Advice(
        families=families_for(needs.place),
        inflow_litres=inflow,
        weeks=weeks,
        capacity_litres=capacity_for(inflow, weeks),
        first_below=on + timedelta(weeks=weeks.typical),
        schedule=schedule_for(inflow, weeks, litres=needs.bin_litres or usual_litres(needs.space), on=on),
    )


def inflow_of(needs: Needs, *, per_green: float | None = None) -> Span:
    """All that goes in: food, yard trimmings and the browns for what of it is green. [L/week]

    Between all yard trimmings brown (they are the browns of the food) and all green; likely half of each
    (ours). Browns to greens by volume at the programme's rule.
    """
    rule = published().guidance["browns_per_green"].typical if per_green is None else per_green
    require_within("parts of brown to one of green", rule, 0.25, 10)
    share = published().guidance["yard_that_is_green"]
    low, typical, high = (
        _with_browns(needs.food_litres, needs.yard_litres, green, rule)
        for green in (share.low, share.typical, share.high)
    )
    return Span(low=low, typical=typical, high=high)


def _with_browns(food: float, yard: float, share_green: float, rule: float) -> float:
    wanted = rule * (food + yard * share_green)
    return food + yard + max(0.0, wanted - yard * (1 - share_green))


def mean_share_left(left: float) -> float:
    """Mean over its time in the bin of what is left of a litre that ends at `left`, (1 − s)/ln(1/s). [1]

    Source: the integral of s^(t/T) over T, an identity; that it shrinks evenly in ratio is our assumption.
    """
    require_within("share of the volume left", left, 0.01, 1)
    return 1.0 if left == 1 else (1 - left) / -math.log(left)


def capacity_for(inflow: Span, weeks: Known) -> Span:
    """Room for a steady inflow: inflow × time in the bin × mean share left. [L]"""
    left = published().guidance["volume_left"]
    low, typical, high = (
        getattr(inflow, end) * getattr(weeks, end) * mean_share_left(getattr(left, end))
        for end in ("low", "typical", "high")
    )
    return Span(low=low, typical=typical, high=high)


def weeks_to_fill(litres: float, *, inflow: float, weeks: float, left: float) -> float | None:
    """Weeks until a steady inflow fills so many litres; None where it is finished before it is full.

    litres : room [L]  inflow : [L/week]  weeks : time to finished compost [weeks]  left : share left then [1]
    """
    if litres >= inflow * weeks * mean_share_left(left):
        return None
    pace = weeks / -math.log(left)
    return -pace * math.log1p(-litres / (inflow * pace))


def usual_litres(space: Space) -> float:
    """A 32-gallon can where there is little room, else the usual cube of 3 feet. [L]"""
    return published().guidance["can_litres" if space is Space.SMALL else "pile_cube_litres"].typical


def schedule_for(inflow: Span, weeks: Known, *, litres: float, on: date) -> Schedule:
    """When bins of `litres` are full, ready and due for the swap, from a fast case to a slow one.

    Earliest full: most inflow that shrinks least; latest: least that shrinks most.
    """
    left = published().guidance["volume_left"]
    paces = ((inflow.high, left.high), (inflow.typical, left.typical), (inflow.low, left.low))
    times = (weeks.low, weeks.typical, weeks.high)
    full = [
        weeks_to_fill(litres, inflow=q, weeks=time, left=s) for (q, s), time in zip(paces, times, strict=True)
    ]
    ready = [None if f is None else f + time for f, time in zip(full, times, strict=True)]
    likely = full[1]
    return Schedule(
        bin_litres=litres,
        first_full=_days(on, full),
        first_ready=_days(on, ready),
        swap=_days(on, [None if f is None else 2 * f for f in full]),
        bins=1 if likely is None else 1 + math.ceil(weeks.typical / likely),
    )


def _days(on: date, weeks: list[float | None]) -> tuple[date | None, ...]:
    return tuple(
        None if w is None or w > NEVER_WEEKS else on + timedelta(days=round(w * DAYS_PER_WEEK)) for w in weeks
    )
