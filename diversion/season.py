"""Yard trimmings by calendar quarter (step 4): a question covers one month, a filing covers a quarter."""

from collections.abc import Sequence
from dataclasses import dataclass

from diversion.conversions import MONTHS_PER_YEAR, QUARTERS_PER_YEAR
from diversion.errors import DiversionError, require_within
from diversion.settings import SEASON_LOG_ERROR


class IncompleteIndex(DiversionError):
    """A yard index does not have a value for each month of the year.

    Attributes
    ----------
    months : int
        How many it has.
    """

    def __init__(self, *, months: int) -> None:
        self.months = months
        super().__init__(
            f"A yard index needs twelve months, January first; this one has {months}. Add the others."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class YardIndex:
    """Yard trimmings of each calendar quarter relative to the mean quarter.

    Parameters
    ----------
    by_quarter : tuple of float, length 4
        January to March first; above 0, mean 1.
    log_error : float
        Standard deviation of each on the log scale, independent of the others.
    """

    by_quarter: tuple[float, ...]
    log_error: float = SEASON_LOG_ERROR

    def __post_init__(self) -> None:
        for value in self.by_quarter:
            require_within("yard index of a quarter", value, 0)

    @classmethod
    def from_months(cls, months: Sequence[float]) -> "YardIndex":
        """Average twelve monthly values into quarters, scaled to a mean of 1.

        Raises
        ------
        IncompleteIndex
            Unless there are twelve.
        """
        if len(months) != MONTHS_PER_YEAR:
            raise IncompleteIndex(months=len(months))
        length = MONTHS_PER_YEAR // QUARTERS_PER_YEAR
        whole = sum(months)
        sums = [sum(months[start : start + length]) for start in range(0, MONTHS_PER_YEAR, length)]
        return cls(by_quarter=tuple(QUARTERS_PER_YEAR * part / whole for part in sums))

    def multiplier(self, *, to_quarter: int, asked: int) -> float:
        """What an amount about one calendar quarter is multiplied by to speak for another:
        idx(to)/idx(asked).

        Parameters
        ----------
        to_quarter : int
            1 to 4.
        asked : int
            1 to 4; 0, no month known, is taken as the mean of the year.
        """
        about = self.by_quarter[asked - 1] if asked else 1.0
        return self.by_quarter[to_quarter - 1] / about
