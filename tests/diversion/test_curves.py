"""The still-composting curves, beside the published checks."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diversion.cells import QuitCount
from diversion.curves import Held, NoCurve, current_status, kaplan_meier
from diversion.errors import OutOfRange


def counts_of(*rows):
    return [QuitCount(months=months, still=still, stopped=stopped) for months, still, stopped in rows]


def test_answers_that_go_up_are_pooled():
    curve = current_status(counts_of((12, 5, 5), (6, 7, 3), (9, 8, 2), (9, 0, 0)))

    assert [(point.months, point.share) for point in curve.points] == [(6, 0.75), (9, 0.75), (12, 0.5)]
    assert [(point.at_risk, point.quits) for point in curve.points] == [(10, 3), (10, 2), (10, 5)]


@settings(deadline=None, max_examples=40)
@given(
    st.lists(st.tuples(st.integers(0, 60), st.integers(0, 30), st.integers(0, 30)), min_size=1, max_size=12)
)
def test_the_curve_never_rises_and_lies_within_its_limits(rows):
    if not any(still + stopped for _, still, stopped in rows):
        return

    points = current_status(counts_of(*rows)).points

    shares = [point.share for point in points]
    assert shares == sorted(shares, reverse=True)
    for point in points:
        assert 0 <= point.lower <= point.share + 1e-9
        assert point.share - 1e-9 <= point.upper <= 1


def test_limits_of_a_single_month_invert_the_likelihood_ratio():
    """One month is a plain proportion: 2·(log-likelihood at 7/10 less that at a limit) is the chi-squared quantile."""
    (point,) = current_status(counts_of((6, 7, 3))).points

    def loss(p):
        return 2 * (7 * np.log(0.7 / p) + 3 * np.log(0.3 / (1 - p)))

    assert loss(point.lower) == pytest.approx(2.705543, rel=1e-5)
    assert loss(point.upper) == pytest.approx(2.705543, rel=1e-5)


def test_more_answers_narrow_the_band():
    few = current_status(counts_of((6, 8, 2), (12, 6, 4))).points
    many = current_status(counts_of((6, 80, 20), (12, 60, 40))).points

    for small, large in zip(few, many, strict=True):
        assert large.upper - large.lower < 0.5 * (small.upper - small.lower)


def test_a_band_reaches_the_end_where_nothing_speaks_against_it():
    (point,) = current_status(counts_of((6, 1, 0))).points

    assert (point.share, point.upper) == (1, 1)


@pytest.mark.slow
def test_the_band_covers():
    """Truth 0.92·exp(-(m/87)^0.8), 600 answers at multiples of six months; at least 88 of 100 in 300 runs."""
    rng = np.random.default_rng(5)
    covered = []
    for _ in range(300):
        months = np.floor(rng.uniform(6, 60, 600) / 6) * 6
        still = rng.random(600) < share(months)
        counts = [
            QuitCount(
                months=m,
                still=int((still & (months == m)).sum()),
                stopped=int((~still & (months == m)).sum()),
            )
            for m in np.unique(months).tolist()
        ]
        points = {point.months: point for point in current_status(counts).points}
        covered.append([points[m].lower <= share(m) <= points[m].upper for m in (12, 30, 48)])

    assert np.mean(covered, axis=0).min() >= 0.88


def share(months):
    return 0.92 * np.exp(-((months / 87) ** 0.8))


@pytest.mark.parametrize("draw", [lambda: current_status([]), lambda: kaplan_meier([])])
def test_nothing_counted_draws_no_curve(draw):
    with pytest.raises(NoCurve, match="Enter some answers first"):
        draw()


def test_where_everybody_quit_the_curve_ends_at_nothing():
    curve = kaplan_meier([Held(months=3, quit=2, still=0), Held(months=5, quit=1, still=0)])

    last = curve.points[-1]
    assert (last.share, last.standard_error, last.lower, last.upper) == (0, 0, 0, 0)


def test_a_curve_says_how_many_are_likely_still_active():
    curve = kaplan_meier([Held(months=6, quit=2, still=0), Held(months=12, quit=0, still=8)])

    assert curve.at(5.9) == 1
    assert curve.likely_active({3: 10, 6: 10, 40: 5}) == pytest.approx(10 + 8 + 4)
    assert curve.restricted_mean(to_months=12) == pytest.approx(6 + 6 * 0.8)


@pytest.mark.parametrize("differences", [{"months": -1}, {"quit": -1}, {"still": -1}])
def test_negative_numbers_are_refused(differences):
    with pytest.raises(OutOfRange):
        Held(**{"months": 1, "quit": 1, "still": 1} | differences)
