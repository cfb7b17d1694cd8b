"""90 % limits of an estimate."""

import math
from functools import cache

from diversion.quantiles import student_quantile
from diversion.settings import CONFIDENCE, MOST_DEGREES, WIDEST_LOG_INTERVAL


def log_limits(value: float, error: float, degrees_of_freedom: float) -> tuple[float, float]:
    """Limits of a quantity that cannot be negative: value · exp(± t·error/value).

    Parameters
    ----------
    value : float
        Above 0, and not smaller than what `has_log_limits` allows.
    error : float
        Its standard error, at least 0.
    degrees_of_freedom : float
        At least 1; infinite where the error is exact or 0.

    Returns
    -------
    tuple of float
        Lower and upper limit of the two-sided interval at `settings.CONFIDENCE`.

    Source
    ------
    Student's t on the log scale; simulations of the method showed 89 to 90 % coverage with skewed volumes.
    """
    stretch = math.exp(multiplier(degrees_of_freedom) * error / value)
    return value / stretch, value * stretch


def has_log_limits(value: float, error: float, degrees_of_freedom: float) -> bool:
    """Whether there is an interval to give: not for an estimate of 0, nor one wider than means anything."""
    return value > 0 and multiplier(degrees_of_freedom) * error <= WIDEST_LOG_INTERVAL * value


def symmetric_limits(value: float, error: float, degrees_of_freedom: float) -> tuple[float, float]:
    """Limits of a balance that may have either sign: value ± t·error. Otherwise as `log_limits`."""
    half = multiplier(degrees_of_freedom) * error
    return value - half, value + half


@cache
def multiplier(degrees_of_freedom: float) -> float:
    """Student's t of the two-sided interval; the normal quantile for infinite degrees of freedom."""
    probability = (1 + CONFIDENCE) / 2

    return student_quantile(probability, min(degrees_of_freedom, MOST_DEGREES))
