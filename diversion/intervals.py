"""90 % limits of an estimate."""

import math
from functools import cache

from diversion.quantiles import student_quantile
from diversion.settings import CONFIDENCE, MOST_DEGREES, WIDEST_LOG_INTERVAL


def log_limits(value: float, error: float, degrees_of_freedom: float) -> tuple[float, float] | None:
    """Limits of a quantity that cannot be negative: value · exp(± t·error/value).

    Parameters
    ----------
    value : float
        At least 0.
    error : float
        Its standard error, at least 0.
    degrees_of_freedom : float
        At least 1; infinite where the error is exact or 0.

    Returns
    -------
    tuple of float, or None
        Lower and upper limit of the two-sided interval at `settings.CONFIDENCE`. None where there is none to give:
        for an estimate of 0, and for one whose interval would be wider than means anything.

    Source
    ------
    Student's t on the log scale; simulations of the method showed 89 to 90 % coverage with skewed volumes.
    """
    half = multiplier(degrees_of_freedom) * error
    if value <= 0 or half > WIDEST_LOG_INTERVAL * value:
        return None
    stretch = math.exp(half / value)
    return value / stretch, value * stretch


def symmetric_limits(value: float, error: float, degrees_of_freedom: float) -> tuple[float, float]:
    """Limits of a balance that may have either sign: value ± t·error. Otherwise as `log_limits`."""
    half = multiplier(degrees_of_freedom) * error
    return value - half, value + half


@cache
def multiplier(degrees_of_freedom: float) -> float:
    """Student's t of the two-sided interval; the normal quantile for infinite degrees of freedom."""
    probability = (1 + CONFIDENCE) / 2

    return student_quantile(probability, min(degrees_of_freedom, MOST_DEGREES))
