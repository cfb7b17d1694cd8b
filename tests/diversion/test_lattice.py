"""Draws on a lattice: even in each quantity and in all together, right on average, and steady from seed to seed."""

import math
import zlib
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from diversion.account_draws import draw_account
from diversion.cells import Prior
from diversion.drawing import Design
from diversion.draws import quantiles
from diversion.errors import OutOfRange
from diversion.inputs import MethodSettings
from diversion.lattice import Lattice, pivoted_root
from diversion.lattice_table import LATTICE_MULTIPLIERS, LATTICE_POINTS
from diversion.settings import DRAWS, METHOD_VERSION
from tests.factories.diversion import Answer, make_answers, make_exposure, make_inputs, make_quarter

NAMES = [f"quantity {number}" for number in range(14)]
STEADY = ("gross", "landfill_bound", "additional", "composted_before", "methane_lifetime")
# What a filing prints, and of tonnes and methane each material beside it.
FIGURES = [
    *((name, stream) for name in STEADY for stream in ("food", "yard", "both")),
    ("process", "both"),
    ("net", "both"),
]


@given(st.integers(0, 2**40), st.integers(2, 400), st.integers(0, 62))
def test_each_quantity_visits_every_slice_once(seed, count, quantities):
    lattice = Lattice.of([str(number) for number in range(quantities)], seed=seed, count=count)

    for places in lattice.places.values():
        assert (np.sort(places) == np.arange(count)).all()


def test_a_shift_depends_on_the_seed_alone():
    one, again, other = (Lattice.of(NAMES, seed=seed, count=1000).normal(NAMES[3]) for seed in (5, 5, 6))

    assert (one == again).all()
    assert not (one == other).all()


def test_places_are_multiples_of_the_table_shifted_by_raw_words_of_the_published_generator():
    """So that a seed means the same draws in years; quantities follow the two dimensions of the first totals."""
    lattice = Lattice.of(NAMES[:3], seed=5, count=LATTICE_POINTS)

    words = np.random.PCG64([5, zlib.crc32(b"lattice")]).random_raw(64)
    for at, name in enumerate(NAMES[:3], start=2):
        multiplier, shift = LATTICE_MULTIPLIERS[at], int(words[at]) % LATTICE_POINTS
        expected = [(draw * multiplier + shift) % LATTICE_POINTS for draw in range(LATTICE_POINTS)]
        assert lattice.places[name].tolist() == expected


def test_with_another_number_of_draws_the_next_multiplier_that_visits_every_slice_is_taken():
    """14375 of 32768 is 8774.1 of 20001, and 8774 = 2·41·107; 20001 = 3·59·113: no divisor in common. Of 30000 it is
    13161 = 3·41·107, which 30000 shares 3 with, so 13162 and 13164 fall out by 2, 13163 is taken.
    """
    first, second = (
        Lattice.of([], seed=0, count=count).normals_beside("totals", 2) for count in (20001, 30000)
    )

    assert _step_of(first[1], 20001) == 8774
    assert _step_of(second[1], 30000) == 13163


def _step_of(scores: np.ndarray, count: int) -> int:
    """By how many slices one draw lies beyond the one before."""
    places = np.argsort(np.argsort(scores))
    return int(places[1] - places[0]) % count


@pytest.mark.parametrize("seed", range(3))
def test_quantities_and_totals_are_as_good_as_independent(seed):
    """Scores, their squares and cubes have the mean products of independent normals, about as near as chance has it."""
    lattice = Lattice.of(NAMES, seed=seed, count=DRAWS)
    scores = np.vstack([lattice.normals_beside("totals", 10), *(lattice.normal(name) for name in NAMES)])

    for power in (1, 2, 3):
        assert np.abs(np.corrcoef(scores**power) - np.eye(len(scores))).max() < 0.03


def test_columns_beyond_the_lattice_are_in_random_orders():
    lattice = Lattice.of(NAMES, seed=1, count=DRAWS)

    many = lattice.normals_beside("totals", 70)

    assert many.shape == (70, DRAWS)
    assert (np.sort(many, axis=1) == np.sort(many[0])).all()
    assert np.abs(np.corrcoef(many) - np.eye(70)).max() < 0.05
    assert (many[:48] == lattice.normals_beside("totals", 48)).all()
    assert lattice.normals_beside("totals", 0).shape == (0, DRAWS)


@pytest.mark.parametrize(
    ("names", "seed", "count", "says"),
    [
        ([], -1, 10, "[Ss]eed .*-1"),
        ([], 1, 1, "[Nn]umber of draws .*1"),
        ([], 1, 1_000_001, "[Nn]umber of draws .*1"),
        (list("x" * 63), 1, 9, "[Qq]uantities of a lattice .*63"),
    ],
)
def test_a_lattice_has_a_range(names, seed, count, says):
    with pytest.raises(OutOfRange, match=says):
        Lattice.of(names, seed=seed, count=count)


@given(st.integers(1, 8), st.integers(0, 1000))
def test_a_root_gives_back_its_covariance(size, seed):
    generator = np.random.default_rng(seed)
    half = generator.standard_normal((size, generator.integers(1, size + 1)))
    covariance, sizes = half @ half.T, generator.uniform(1, 1000, size)

    root = pivoted_root(covariance, sizes)

    scale = np.sqrt(np.outer(np.diag(covariance), np.diag(covariance)))
    assert (np.abs(root @ root.T - covariance) <= 1e-5 * scale).all()


def test_the_weightiest_total_comes_first_and_of_equals_the_first():
    heavy = pivoted_root(np.diag([1.0, 1.0, 0.0]), np.array([1.0, 5.0, 9.0]))
    alike = pivoted_root(np.diag([1.0, 1.0 + 1e-12]), np.ones(2))

    # 1·5² is more than 3·2², and 9·2² more than 1·5², whatever the sums of variance and size.
    by_variance = pivoted_root(np.diag([1.0, 9.0]), np.array([5.0, 2.0]))
    by_size = pivoted_root(np.diag([1.0, 3.0]), np.array([5.0, 2.0]))

    assert heavy[:, 0].tolist() == [0, 1, 0]
    assert by_variance[:, 0].tolist() == [0, 3]
    assert by_size[:, 0].tolist() == [1, 0]
    assert alike[:, 0].tolist() == [1, 0]
    assert pivoted_root(np.zeros((2, 2)), np.ones(2)).tolist() == [[0, 0], [0, 0]]


@pytest.mark.parametrize("size", [1e-9, 1.0, 1e9])
def test_no_unit_of_the_totals_is_too_small_for_a_spread(size):
    root = pivoted_root(np.diag([1.0, 4.0]), np.full(2, size))

    assert root @ root.T == pytest.approx(np.diag([1.0, 4.0]))


def test_limits_of_a_product_are_those_known_exactly():
    """The product of log-normals is log-normal: exp(± z √Σσ²), z of SciPy."""
    spreads = (0.35, 0.3, 0.2, 0.1)
    lattice = Lattice.of(NAMES[:2], seed=9, count=DRAWS)
    scores = [*lattice.normals_beside("totals", 2), *(lattice.normal(name) for name in NAMES[:2])]

    drawn = np.exp(sum(spread * score for spread, score in zip(spreads, scores, strict=True)))

    half = stats.norm.ppf(0.95) * math.hypot(*spreads)
    expected = [math.exp(-half), 1, math.exp(half)]
    assert quantiles(drawn, [0.05, 0.5, 0.95]) == pytest.approx(expected, rel=6e-3)
    assert drawn.var() == pytest.approx(
        math.expm1(math.hypot(*spreads) ** 2) * math.exp(math.hypot(*spreads) ** 2), rel=0.04
    )


def a_programme():
    """Some 300 households, half of whom answered, with skewed amounts: limits a factor of two from the middle."""
    generator = np.random.default_rng(20)
    said = [
        Answer(food=int(food), yard=int(yard))
        for food, yard in zip(
            generator.lognormal(3, 1, 24) * (generator.random(24) < 0.8),
            generator.lognormal(4, 1.2, 24) * (generator.random(24) < 0.5),
            strict=True,
        )
    ]
    shares = {
        "food_trash_percent": 70,
        "food_composted_percent": 20,
        "yard_trash_percent": 40,
        "yard_composted_percent": 30,
    }
    groups = tuple(
        make_answers(said[at::2], band=band, gap_months=4 * band, quarter_asked=1, prior=prior, **shares)
        for at, (band, prior) in enumerate(((0, Prior.NEW), (2, Prior.NOT_SAID)))
    )
    exposure = tuple(make_exposure(band=band, households=150, days=150 * 80) for band in (0, 2))
    return make_inputs(quarters=(make_quarter(exposure=exposure, answers=groups),), settings=MethodSettings())


def limits_of(inputs, seeds) -> dict[tuple[str, str], np.ndarray]:
    drawn = [draw_account(inputs, seed=seed) for seed in seeds]
    return {
        (name, stream): np.array(
            [
                [figure.lower, figure.median, figure.upper]
                for one in drawn
                for figure in [one.figure(name, stream)]
            ]
        )
        for name, stream in FIGURES
    }


def disagreement(limits: np.ndarray) -> np.ndarray:
    """Of each pair of seeds, how far apart a limit is, relative to it."""
    first, second = np.split(limits, 2)
    return np.abs(first - second) / ((first + second) / 2)


@pytest.mark.slow
def test_two_seeds_agree_to_one_percent():
    """Limits and middle, in 95 of 100 pairs of seeds: tonnes and methane of food, of yard trimmings and of both within
    1 % of themselves, and so is what composting gives off; the net, which may be nothing, of the width of its interval.
    """
    limits = limits_of(a_programme(), range(200))

    assert limits["gross", "both"][:, 2].mean() > 1.7 * limits["gross", "both"][:, 1].mean()
    net = limits.pop(("net", "both"))
    for which, values in limits.items():
        assert (np.quantile(disagreement(values), 0.95, axis=0) < 0.01).all(), which
    first, second = np.split(net, 2)
    width = (net[:, 2] - net[:, 0]).mean()
    assert (np.quantile(np.abs(first - second) / width, 0.95, axis=0) < 0.011).all()


def test_both_ways_of_drawing_are_about_the_same_distribution():
    """The lattice moves no limit: means over many seeds are those of random orders."""
    inputs = a_programme()
    before = replace(inputs, settings=replace(inputs.settings, version=2, draws=10_000))

    lattice, orders = limits_of(inputs, range(10)), limits_of(before, range(10, 40))

    assert before.settings.version < METHOD_VERSION
    for which, values in lattice.items():
        assert values.mean(axis=0) == pytest.approx(orders[which].mean(axis=0), rel=0.01), which


def test_shares_of_the_variance_are_steady_too():
    inputs = a_programme()

    shares = [draw_account(inputs, seed=seed).figure("gross").shares for seed in range(6)]

    for group in ("who answered", "density of food"):
        found = [next(one.share for one in each.groups if one.group == group) for each in shares]
        assert np.ptp(found) < 0.03
    assert all(sum(one.share for one in each.groups) + each.together == pytest.approx(1) for each in shares)


def test_the_old_way_stays_for_what_was_filed_by_it():
    old = Design.of(NAMES, seed=1, count=100)
    settings = replace(a_programme().settings, draws=1000)
    drawn = [
        draw_account(replace(a_programme(), settings=replace(settings, version=version)), seed=1).figure(
            "gross"
        )
        for version in (2, 3, METHOD_VERSION)
    ]

    assert not (old.normal(NAMES[0]) == Lattice.of(NAMES, seed=1, count=100).normal(NAMES[0])).all()
    assert drawn[0].upper != drawn[1].upper == drawn[2].upper
