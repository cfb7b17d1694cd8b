"""The one base of every error that the estimators raise, and the error of a value outside its range.

Catch `DiversionError` to catch them all. Each error carries its facts as attributes and says what to do next.
"""

import math


class DiversionError(Exception):
    """Something that was handed in cannot be turned into a figure."""


class OutOfRange(DiversionError):
    """A number lies outside the range in which the method means anything.

    Attributes
    ----------
    name : str
        What the number is, with its unit.
    value : float
        What was given.
    low, high : float
        The range it must lie in, ends included.
    """

    def __init__(self, *, name: str, value: float, low: float, high: float) -> None:
        self.name, self.value, self.low, self.high = name, value, low, high
        super().__init__(
            f"{name} is {value:g}, but must lie between {low:g} and {high:g}. "
            f"Correct it where it was entered, or leave the default."
        )


def require_within(name: str, value: float, low: float, high: float = math.inf) -> None:
    """Raise `OutOfRange` unless low <= value <= high; not-a-number and infinity never pass."""
    if not (low <= value <= high and math.isfinite(value)):
        raise OutOfRange(name=name, value=value, low=low, high=high)
