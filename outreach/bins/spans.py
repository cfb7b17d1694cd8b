"""Days of use as a stay has them."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, order=True)
class Span:
    """Days of use as a stay has them: `from_day` up to, not with, `until_day`."""

    from_day: int
    tie: str
    until_day: int
    because: str
    household_id: int
    family: str
    funding_source_id: int | None = None
