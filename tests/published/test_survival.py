"""Curves against R's `survival`, lifelines and SciPy."""

import lifelines
import numpy as np
import pytest
from lifelines.utils import restricted_mean_survival_time
from scipy.optimize import isotonic_regression

from diversion.curves import Held, falling, kaplan_meier

# Months of remission on 6-MP: Freireich et al. (1963), Blood 21: 699-716; a plus marks those still in remission.
REMISSION = "6 6 6 6+ 7 9+ 10 10+ 11+ 13 16 17+ 19+ 20+ 22 23 25+ 32+ 32+ 34+ 35+"
MONTHS = [float(entry.rstrip("+")) for entry in REMISSION.split()]
QUIT = [not entry.endswith("+") for entry in REMISSION.split()]


@pytest.fixture(scope="module")
def curve():
    followed = [Held(months=m, quit=int(q), still=int(not q)) for m, q in zip(MONTHS, QUIT, strict=True)]
    return kaplan_meier(followed, confidence=0.95)


def test_survival_and_greenwood_errors_as_printed_by_r(curve):
    """R survival 3.5-3, printed; lifelines and SciPy agree."""
    assert [point.months for point in curve.points] == [6, 7, 10, 13, 16, 22, 23]
    shares = [point.share for point in curve.points]
    assert shares == pytest.approx(
        [0.857143, 0.806723, 0.752941, 0.690196, 0.627451, 0.537815, 0.448179], abs=5e-7
    )
    errors = [point.standard_error for point in curve.points]
    assert errors == pytest.approx(
        [0.076360, 0.086935, 0.096350, 0.106815, 0.114054, 0.128234, 0.134591], abs=6e-7
    )


def test_log_log_limits_as_printed_by_r(curve):
    first = curve.points[0]

    assert (first.lower, first.upper) == pytest.approx((0.619718, 0.951552), abs=5e-7)


def test_all_limits_agree_with_lifelines(curve):
    fitter = lifelines.KaplanMeierFitter(alpha=0.05).fit(MONTHS, QUIT)
    reference = fitter.confidence_interval_survival_function_

    for point in curve.points:
        assert (point.lower, point.upper) == pytest.approx(tuple(reference.loc[point.months]), abs=1e-9)


@pytest.mark.parametrize("months", [5, 12, 24, 35])
def test_restricted_mean_agrees_with_lifelines(curve, months):
    fitter = lifelines.KaplanMeierFitter().fit(MONTHS, QUIT)

    expected = restricted_mean_survival_time(fitter, t=months)

    assert curve.restricted_mean(to_months=months) == pytest.approx(expected, rel=1e-9)


def test_pooling_agrees_with_scipy():
    rng = np.random.default_rng(11)
    for _ in range(50):
        weights = rng.integers(1, 40, 15).astype(float)
        values = rng.binomial(weights.astype(int), 0.6) / weights

        expected = isotonic_regression(values, weights=weights, increasing=False).x

        assert falling(values, weights) == pytest.approx(expected, abs=1e-12)
