"""Our own quantiles against SciPy."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import special, stats

from diversion import quantiles
from diversion.errors import OutOfRange
from diversion.intervals import log_limits, multiplier, symmetric_limits
from diversion.proportions import at_most, wilson
from diversion.quantiles import beta_quantile, incomplete_beta, normal_quantile, student_quantile


@pytest.mark.parametrize("degrees", [1, 1.5, 4, 8.9996, 24.27, 632, 1e5])
@pytest.mark.parametrize("probability", [0.5, 0.6, 0.95, 0.995])
def test_student_agrees_with_scipy(probability, degrees):
    assert student_quantile(probability, degrees) == pytest.approx(
        stats.t.ppf(probability, degrees), rel=1e-10, abs=1e-12
    )


@settings(deadline=None)
@given(st.floats(0.5, 1 - 1e-9), st.floats(0, 6))
def test_student_agrees_with_scipy_everywhere(probability, magnitude):
    degrees = 10**magnitude

    assert student_quantile(probability, degrees) == pytest.approx(
        stats.t.ppf(probability, degrees), rel=1e-10, abs=1e-10
    )


@pytest.mark.parametrize("degrees", [1, 3.7, 24.27, 632, 5000, 1e6])
def test_the_quantile_of_an_interval_takes_two_steps_at_most(monkeypatch, degrees):
    """An account asks for dozens of them, each with degrees of freedom of its own."""
    taken = []
    monkeypatch.setattr(
        quantiles, "incomplete_beta", lambda *args: taken.append(args) or incomplete_beta(*args)
    )

    quantiles.student_quantile(0.95, degrees)

    assert len(taken) <= 2


@settings(deadline=None)
@given(st.floats(0.001, 0.999), st.floats(0.5, 200), st.floats(0.5, 200))
def test_the_incomplete_beta_function_agrees_with_scipy(x, a, b):
    assert incomplete_beta(x, a, b) == pytest.approx(special.betainc(a, b, x), rel=1e-9, abs=1e-12)


@pytest.mark.parametrize(("x", "value"), [(-1, 0), (0, 0), (1, 1), (2, 1)])
def test_the_incomplete_beta_function_ends_at_nothing_and_all(x, value):
    assert incomplete_beta(x, 2, 3) == value


def test_many_cases_agree_with_scipy():
    expected = stats.beta.ppf(0.05, 400_000, 600_001)

    assert beta_quantile(0.05, 400_000, 600_001) == pytest.approx(expected, rel=1e-8)


def test_beta_quantiles_agree_with_scipy():
    assert beta_quantile(0.95, 3, 18) == pytest.approx(stats.beta.ppf(0.95, 3, 18), abs=1e-12)


def test_normal_quantiles_agree_with_scipy():
    assert normal_quantile(0.95) == pytest.approx(stats.norm.ppf(0.95), abs=1e-12)


@pytest.mark.parametrize("probability", [0.0, 1.0, 0.4])
def test_probabilities_out_of_range_are_refused(probability):
    with pytest.raises(OutOfRange):
        student_quantile(probability, 5)


def test_a_share_of_nobody_is_refused():
    with pytest.raises(OutOfRange):
        wilson(count=0, of=0)
    with pytest.raises(OutOfRange):
        wilson(count=6, of=5)


def test_none_of_twenty_is_at_most_a_seventh():
    assert at_most(of=20) == pytest.approx(1 - 0.05 ** (1 / 20))


def test_endless_degrees_of_freedom_give_the_normal_quantile():
    assert multiplier(float("inf")) == pytest.approx(1.6448536, abs=1e-5)


def test_an_interval_that_would_mean_nothing_is_not_given():
    assert log_limits(0.0, 1.0, 5) is None
    assert log_limits(1.0, 10.0, 5) is None
    assert log_limits(1.0, 0.0, 5) == (1.0, 1.0)


def test_a_balance_has_limits_of_either_sign():
    lower, upper = symmetric_limits(1.0, 2.0, float("inf"))

    assert (lower, upper) == pytest.approx((1 - 3.28971, 1 + 3.28971), abs=1e-4)
