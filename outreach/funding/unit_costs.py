"""What one household, bin or tonne cost: whole cents, and an interval where the divisor has one."""

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal


def each(cents: int, count: int) -> int | None:
    """Cents for each of so many, rounded half up; None where there are none."""
    return _rounded(Decimal(cents) / count) if count else None


@dataclass(frozen=True, slots=True, kw_only=True)
class CostPerTonne:
    """Cents a tonne (1000 kg) with the limits that the interval of the tonnes leaves; None has no limit."""

    cents: int | None
    low_cents: int | None
    high_cents: int | None


def per_tonne(cents: int, *, tonnes: float, low: float | None, high: float | None) -> CostPerTonne:
    """Divide a cost, which is known, by tonnes, which are estimated.

    Parameters
    ----------
    cents : int
        What was spent. [cents]
    tonnes, low, high : float
        The estimate and the ends of its interval, low <= tonnes <= high; None where it has none. [t, 1000 kg]

    Returns
    -------
    CostPerTonne
        The ends change places: most tonnes make the least a tonne. Where the lower end of the tonnes is 0 the
        cost a tonne has no upper limit, and the interval holds with the same confidence as that of the tonnes,
        since dividing a fixed number turns the order round and nothing else.

    Raises
    ------
    ValueError
        Where the ends are out of order or below 0.
    """
    ends = [end for end in (low, tonnes, high) if end is not None]
    if ends != sorted(ends) or ends[0] < 0:
        raise ValueError(f"An interval of tonnes runs from low to high, not {low}, {tonnes}, {high}.")
    return CostPerTonne(cents=_by(cents, tonnes), low_cents=_by(cents, high), high_cents=_by(cents, low))


def _by(cents: int, tonnes: float | None) -> int | None:
    return _rounded(Decimal(cents) / Decimal(tonnes)) if tonnes else None


def _rounded(value: Decimal) -> int:
    return int(value.to_integral_value(ROUND_HALF_UP))
