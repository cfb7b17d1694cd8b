"""A number that we did not measure, and where to look it up."""

import math
from dataclasses import dataclass
from enum import StrEnum

from diversion.errors import DiversionError


class Status(StrEnum):
    """How far a number was checked. Documents print this word beside the number."""

    SEEN = "seen"  # read in the source itself
    SECOND_HAND = "second-hand"  # read in someone else's quotation of the source
    MEMORY = "memory"  # recalled, not looked up
    ASSUMED = "assumed"  # a choice of ours


class BadFactor(DiversionError):
    """A factor contradicts itself, so the table that holds it must be corrected before use."""

    def __init__(self, *, key: str, reason: str) -> None:
        self.key, self.reason = key, reason
        super().__init__(f"Factor {key!r} {reason}. Correct the factor table that it came from.")


@dataclass(frozen=True, slots=True, kw_only=True)
class PublishedFactor:
    """A published or assumed number with its range, its unit and its source.

    Parameters
    ----------
    key : str
        Its name within a factor set, such as 'density.food'.
    meaning : str
        What it is, in a few words for a table.
    value, low, high : float
        Central value and range in `unit`, low <= value <= high. All three alike: no range is known, it is
        not drawn.
    unit : str
        Unit of the three numbers; '1' for a share or ratio.
    source, locator : str
        Publication, and the table, page or equation in it.
    year : int
        Year of publication.
    status : Status
        How far the value was checked.
    range_status : Status
        How far the range was checked, where that differs from the value.
    note : str
        What a reader should know before relying on it.

    Raises
    ------
    BadFactor
        If the numbers are not finite or out of order, or a citation is empty.
    """

    key: str
    meaning: str
    value: float
    low: float
    high: float
    unit: str
    source: str
    locator: str
    year: int
    status: Status
    range_status: Status
    note: str = ""

    def __post_init__(self) -> None:
        if not all(map(math.isfinite, (self.low, self.value, self.high))):
            raise BadFactor(key=self.key, reason="has a value that is not a finite number")
        if not self.low <= self.value <= self.high:
            raise BadFactor(key=self.key, reason=f"has {self.low} ≤ {self.value} ≤ {self.high} out of order")
        if not all((self.key, self.meaning, self.unit, self.source, self.locator)):
            raise BadFactor(key=self.key, reason="lacks a meaning, unit, source or locator")

    @property
    def has_range(self) -> bool:
        """Whether low and high differ, so that the number is drawn and not only used."""
        return self.low < self.high
