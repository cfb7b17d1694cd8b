"""Quantiles of the normal, Student's t and beta distributions, of our own so that NumPy is all we need.

Checked against SciPy in the tests.
"""

import math
from statistics import NormalDist

from diversion.errors import require_within
from diversion.settings import QUANTILE_TOLERANCE, TINY
from diversion.student_table import EXPANSION


def normal_quantile(probability: float) -> float:
    """The value that a standard normal variable stays under with that probability, 0 < p < 1."""
    require_within("probability", probability, math.ulp(0.0), 1 - math.ulp(1.0) / 2)
    return NormalDist().inv_cdf(probability)


def student_quantile(probability: float, degrees_of_freedom: float) -> float:
    """The value that Student's t stays under with that probability.

    Parameters
    ----------
    probability : float
        1/2 <= p < 1; the lower half follows by symmetry.
    degrees_of_freedom : float
        At least 1, need not be whole.

    Returns
    -------
    float

    Raises
    ------
    OutOfRange

    Source
    ------
    Abramowitz and Stegun (1964), 26.7.5, Fisher's expansion; where its last term still tells, solved further by
    Halley's method (Gander 1985, Amer. Math. Monthly 92, 131-134) on the distribution function, 26.7.1 through the
    incomplete beta function. Its error falls with the cube of the step.
    """
    require_within("probability", probability, 1 / 2, 1 - math.ulp(1.0) / 2)
    require_within("degrees of freedom", degrees_of_freedom, 1)
    t, last_term = _expanded(normal_quantile(probability), degrees_of_freedom)
    settled = abs(last_term) <= QUANTILE_TOLERANCE * t
    while not settled:
        step = _halley_step(t, probability, degrees_of_freedom)
        t += step
        settled = abs(step) <= math.cbrt(QUANTILE_TOLERANCE) * (1 + t)
    return t


def _expanded(z: float, degrees_of_freedom: float) -> tuple[float, float]:
    """Fisher's expansion of the quantile, and its last term."""
    t, term = z, 0.0
    for order, (divisor, coefficients) in enumerate(EXPANSION, start=1):
        polynomial = 0.0
        for coefficient in coefficients:
            polynomial = polynomial * z * z + coefficient
        term = z * polynomial / divisor / degrees_of_freedom**order
        t += term
    return t, term


def _halley_step(t: float, probability: float, degrees_of_freedom: float) -> float:
    half = degrees_of_freedom / 2
    log_scale = math.lgamma(half + 1 / 2) - math.lgamma(half) - math.log(math.pi * degrees_of_freedom) / 2
    spread = 1 + t * t / degrees_of_freedom
    density = math.exp(log_scale - (half + 1 / 2) * math.log(spread))
    newton = (probability - 1 + incomplete_beta(1 / spread, half, 1 / 2) / 2) / density
    # The density falls off at the rate (n + 1) t / (n + t²).
    return newton / (1 - newton * (half + 1 / 2) * t / (degrees_of_freedom * spread))


def beta_quantile(probability: float, a: float, b: float) -> float:
    """The value that a beta(a, b) variable stays under with that probability, by bisection.

    Parameters
    ----------
    probability : float
        0 to 1.
    a, b : float
        Above 0.
    """
    low, high = 0.0, 1.0
    while high - low > QUANTILE_TOLERANCE:
        middle = (low + high) / 2
        if incomplete_beta(middle, a, b) < probability:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def incomplete_beta(x: float, a: float, b: float) -> float:
    """The regularised incomplete beta function I_x(a, b), 0 <= x <= 1, a and b above 0.

    Source
    ------
    Abramowitz and Stegun (1964), 26.5.8, the continued fraction, evaluated by Lentz's method.
    """
    if x <= 0 or x >= 1:
        return 0.0 if x <= 0 else 1.0
    if x > (a + 1) / (a + b + 2):
        return 1 - incomplete_beta(1 - x, b, a)
    front = math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b) + a * math.log(x) + b * math.log1p(-x)
    return math.exp(front) * _continued_fraction(x, a, b) / a


def _continued_fraction(x: float, a: float, b: float) -> float:
    c, d = 1.0, 1 / _away_from_zero(1 - (a + b) * x / (a + 1))
    fraction, change, m = d, 0.0, 0
    while abs(change - 1) > QUANTILE_TOLERANCE:  # some √max(a, b) rounds at most, for x below (a+1)/(a+b+2)
        m += 1
        even = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m))
        odd = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))
        for term in (even, odd):
            d = 1 / _away_from_zero(1 + term * d)
            c = _away_from_zero(1 + term / c)
            change = c * d
            fraction *= change
    return fraction


def _away_from_zero(value: float) -> float:
    return value if abs(value) > TINY else TINY
