"""Draws: transforms against SciPy, orders from raw words, and what they owe to seed and name alone."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from diversion.drawing import (
    Design,
    middles,
    normal_columns,
    normal_quantiles,
    orders,
    triangular_quantiles,
    uncorrelated,
)
from diversion.errors import OutOfRange

MASK = (1 << 128) - 1
MULTIPLIER = 0x2360ED051FC65DA44385DF649FCCF645  # of the 128-bit generator, O'Neill (2014), PCG


def test_normal_quantiles_agree_with_scipy_in_the_middle_and_far_out():
    probabilities = np.concatenate([middles(5001), [1e-300, 1e-30, 1e-12, 1e-6, 0.075, 0.925, 1 - 1e-12]])

    assert normal_quantiles(probabilities) == pytest.approx(
        stats.norm.ppf(probabilities), rel=2e-15, abs=1e-15
    )


@pytest.mark.parametrize(
    ("low", "mode", "high"), [(0, 1, 3), (0.75, 1, 1), (-1, -1, 2), (0.235, 0.327, 0.455)]
)
def test_triangular_quantiles_agree_with_scipy(low, mode, high):
    probabilities = middles(2001)

    expected = stats.triang.ppf(probabilities, (mode - low) / (high - low), loc=low, scale=high - low)
    assert triangular_quantiles(probabilities, low=low, mode=mode, high=high) == pytest.approx(expected)


def test_a_factor_without_a_range_is_its_value_in_every_draw():
    assert set(Design.of(["mcf"], seed=1, count=50).triangular("mcf", low=2.0, mode=2.0, high=2.0)) == {2.0}


def test_raw_words_are_those_of_the_published_generator():
    """PCG64 is PCG XSL-RR 128/64: O'Neill (2014). Recomputed here in whole numbers from its state alone."""
    generator = np.random.PCG64([7, 11])
    state, increment = (generator.state["state"][part] for part in ("state", "inc"))

    for word in generator.random_raw(64).tolist():
        state = (state * MULTIPLIER + increment) & MASK
        folded, turn = ((state >> 64) ^ state) & ((1 << 64) - 1), state >> 122
        assert word == ((folded >> turn) | (folded << (-turn & 63))) & ((1 << 64) - 1)


@given(st.integers(0, 2**40), st.integers(2, 300), st.integers(1, 3), st.text(max_size=10))
def test_each_order_visits_every_slice_once(seed, count, columns, name):
    visited = orders(name, seed=seed, columns=columns, count=count)

    assert visited.shape == (columns, count)
    assert (np.sort(visited, axis=1) == np.arange(count)).all()


def test_an_order_depends_on_seed_and_name_alone():
    one = normal_columns("density", seed=5, columns=1, count=1000)

    assert (one == normal_columns("density", seed=5, columns=1, count=1000)).all()
    assert not (one == normal_columns("density", seed=6, columns=1, count=1000)).all()
    assert not (one == normal_columns("decay", seed=5, columns=1, count=1000)).all()


def test_columns_are_as_good_as_independent():
    scores = normal_columns("many", seed=3, columns=6, count=10_000)

    correlation = np.corrcoef(scores)
    assert np.abs(correlation - np.eye(6)).max() < 0.04
    assert np.abs(np.corrcoef(uncorrelated(scores)) - np.eye(6)).max() < 1e-12
    # The squares of independent columns are uncorrelated as well.
    assert np.abs(np.corrcoef(scores**2) - np.eye(6)).max() < 0.04


def test_a_design_keeps_the_slices_and_loses_the_correlation():
    names = [f"quantity {number}" for number in range(12)]
    design = Design.of(names, seed=4, count=10_000)

    drawn = np.vstack([*(design.normal(name) for name in names), design.normals_beside("totals", 5)])

    assert all((np.sort(design.places[name]) == np.arange(10_000)).all() for name in names)
    assert np.abs(np.corrcoef(drawn) - np.eye(17)).max() < 0.002
    assert np.abs(np.corrcoef(drawn[12:]) - np.eye(5)).max() < 1e-12


def test_the_same_quantities_have_the_same_draws_whatever_is_estimated_beside_them():
    one, other = (Design.of(["density", "decay"], seed=9, count=200) for _ in range(2))
    one.normals_beside("totals", 3)

    assert (one.normal("decay") == other.normal("decay")).all()


def test_draws_have_the_moments_of_their_distribution():
    design = Design.of(["x", "y"], seed=1, count=10_000)
    normal, triangular = design.normal("x"), design.triangular("y", low=0.235, mode=0.327, high=0.455)

    assert normal.mean() == pytest.approx(0, abs=1e-12)
    assert normal.var() == pytest.approx(1, abs=1e-3)
    assert triangular.mean() == pytest.approx((0.235 + 0.327 + 0.455) / 3, rel=1e-6)


@pytest.mark.parametrize(("seed", "count"), [(-1, 10), (1, 1), (1, 1_000_001)])
def test_seed_and_count_have_a_range(seed, count):
    with pytest.raises(OutOfRange):
        orders("x", seed=seed, columns=1, count=count)
