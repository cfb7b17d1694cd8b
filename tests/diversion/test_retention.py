"""The quitting rate."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import minimize_scalar

from diversion.cells import QuitCount
from diversion.errors import OutOfRange
from diversion.retention import QuittingRate, quitting_rate


def counts_of(*rows):
    return [QuitCount(months=months, still=still, stopped=stopped) for months, still, stopped in rows]


def test_the_rate_of_a_worked_example():
    """82, 75, 64, 57 of 100 at months 6, 12, 24, 36; expected figures from the designers of the method."""
    rate = quitting_rate(counts_of((6, 82, 18), (12, 75, 25), (24, 64, 36), (36, 57, 43)))

    assert rate.per_month == pytest.approx(0.0125836, rel=1e-4)
    assert rate.standard_error == pytest.approx(0.0030674, rel=1e-4)
    assert math.exp(-14 * rate.per_month) == pytest.approx(0.838475, rel=1e-4)
    assert (rate.assumed, rate.answers, rate.stops) == (False, 400, 122)


@pytest.mark.parametrize(
    "rows", [[(12, 30, 19)], [(12, 100, 9)], []], ids=["few answers", "few stops", "none"]
)
def test_too_few_answers_or_stops_take_the_assumed_rate(rows):
    rate = quitting_rate(counts_of(*rows))

    assert (rate.per_month, rate.standard_error, rate.assumed) == (0.012, 0.005, True)


def test_the_profile_agrees_with_a_general_optimiser():
    rows = [(3, 40, 5), (9, 30, 9), (18, 22, 14), (30, 9, 12)]
    grid = np.arange(61) / 1000

    def best(rate):
        def loss(start):
            terms = ((s, q, start * math.exp(-rate * m)) for m, s, q in rows)
            return -sum(s * math.log(p) + q * math.log1p(-p) for s, q, p in terms)

        return -minimize_scalar(
            loss, bounds=(1e-9, 1 - 1e-12), method="bounded", options={"xatol": 1e-12}
        ).fun

    log_likelihood = np.array([best(rate) for rate in grid])
    weight = np.exp(log_likelihood - log_likelihood.max())
    mean = weight @ grid / weight.sum()

    assert quitting_rate(counts_of(*rows)).per_month == pytest.approx(mean, rel=1e-6)


@settings(deadline=None)
@given(
    st.lists(st.tuples(st.integers(0, 60), st.integers(0, 300), st.integers(0, 300)), min_size=1, max_size=8)
)
def test_any_counts_give_a_rate_on_the_grid_and_never_not_a_number(rows):
    rate = quitting_rate(counts_of(*rows))

    assert 0 <= rate.per_month <= 0.060
    assert 0 <= rate.standard_error <= 0.060


def test_a_rate_below_zero_is_refused():
    with pytest.raises(OutOfRange, match="quitting rate"):
        QuittingRate(per_month=-0.01, standard_error=0, assumed=True, answers=0, stops=0)
