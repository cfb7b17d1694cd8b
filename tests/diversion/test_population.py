"""Ratio totals with their joint covariance."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diversion.intervals import log_limits
from diversion.population import (
    MoreAnswersThanHouseholds,
    ThinGroup,
    degrees_of_freedom,
    group_rates,
)

# Two strata of eight households; the first five and six answered. Expected figures come from the designers of the
# method, computed apart from this program.
WEEKS = [[13, 13, 6.5, 13, 13, 13, 13, 13], [13, 3.25, 13, 13, 13, 13, 13, 13]]
FOOD = [[2, 0, 3, 1, 4], [0, 2, 0, 5, 1, 3]]
YARD = [[1, 0, 0, 2, 5], [0, 1, 0, 0, 0, 4]]
NEEDED = {"rel": 1e-4}


def rates_of(weeks, *quantities, households):
    """Group rates from rows: weeks[h][i] and quantity[h][i] of those who answered."""
    answered, weekly, squares = [], [], []
    for number, t in enumerate(weeks):
        z = np.column_stack([np.ones(len(t)), *(quantity[number] for quantity in quantities)])
        weight = np.array(t, dtype=float)
        answered.append(weight.sum())
        weekly.append(weight @ z[:, 1:])
        squares.append((weight[:, None] * z).T @ (weight[:, None] * z))
    return group_rates(
        answered=np.array(answered),
        weekly=np.array(weekly),
        squares=np.array(squares),
        answers=np.array([len(t) for t in weeks]),
        households=np.array(households),
    )


@pytest.fixture(scope="module")
def two_strata():
    answered = [weeks[: len(food)] for weeks, food in zip(WEEKS, FOOD, strict=True)]
    return rates_of(answered, FOOD, YARD, households=[8, 8])


def weights_of(exposure, *rows):
    return np.einsum("h,fq->fhq", np.array(exposure, dtype=float), np.array(rows, dtype=float))


EXPOSURE = [sum(weeks) for weeks in WEEKS]
FOOD_YARD_BOTH = weights_of(EXPOSURE, [1, 0], [0, 1], [1, 1])


def test_ratio_totals_and_their_sum(two_strata):
    assert two_strata.totals(FOOD_YARD_BOTH) == pytest.approx([354.7143, 249.6310, 604.3452], **NEEDED)


def test_joint_covariance_of_food_and_yard(two_strata):
    covariance = two_strata.covariance(FOOD_YARD_BOTH[:2])

    assert covariance == pytest.approx(np.array([[8230.5643, 4946.1525], [4946.1525, 9141.0740]]), **NEEDED)


def test_the_variance_of_a_sum_holds_the_covariance(two_strata):
    food, yard, both = two_strata.variances(FOOD_YARD_BOTH).sum(axis=1)

    assert both == pytest.approx(food + yard + 2 * two_strata.covariance(FOOD_YARD_BOTH)[0, 1])


def test_degrees_of_freedom_and_limits(two_strata):
    variances = two_strata.variances(FOOD_YARD_BOTH)
    degrees = degrees_of_freedom(variances, two_strata.answers)
    values = zip(two_strata.totals(FOOD_YARD_BOTH), np.sqrt(variances.sum(axis=1)), degrees, strict=True)

    limits = [log_limits(float(value), float(error), float(df)) for value, error, df in values]

    assert degrees == pytest.approx([8.9996, 7.5583, 7.8500], **NEEDED)
    expected = [(221.954, 566.885), (121.795, 511.642), (363.152, 1005.730)]
    assert limits == [pytest.approx(pair, **NEEDED) for pair in expected]


def test_if_the_silent_compost_nothing_only_the_answered_weeks_count(two_strata):
    answered = [sum(weeks[: len(food)]) for weeks, food in zip(WEEKS, FOOD, strict=True)]

    assert two_strata.totals(weights_of(answered, [1, 0], [0, 1])) == pytest.approx([234.0, 159.25], **NEEDED)


def test_no_spread_has_no_variance_and_endless_degrees():
    rates = rates_of([[13.0] * 5], [[2.0] * 5], households=[9])
    variances = rates.variances(weights_of([117], [1]))

    assert variances == pytest.approx(np.zeros((1, 1)), abs=1e-18)
    assert np.isinf(degrees_of_freedom(np.zeros((1, 1)), rates.answers)).all()


def test_degrees_of_freedom_do_not_depend_on_the_unit():
    """By hand: two groups of five with equal variances have (2V)²/(2V²/4) = 8, in grams as in tonnes."""
    for variance in (1e-12, 0.1, 1e12):
        assert degrees_of_freedom(np.full((1, 2), variance), np.array([5, 5])) == pytest.approx([8])


def test_a_household_count_for_every_group_is_demanded(two_strata):
    with pytest.raises(ValueError, match="shorter"):
        replace(two_strata, households=two_strata.households[:1])


def test_one_answer_has_no_variance():
    with pytest.raises(ThinGroup, match="Join thin strata first") as caught:
        rates_of([[13.0]], [[2.0]], households=[9])

    assert caught.value.answers == 1


def test_more_answers_than_households_are_refused():
    with pytest.raises(MoreAnswersThanHouseholds, match="6 answers from 5 households") as caught:
        rates_of([[13.0] * 6], [[2.0] * 6], households=[5])

    assert (caught.value.answers, caught.value.households) == (6, 5)


amounts = st.lists(st.floats(0, 50), min_size=2, max_size=12)


@settings(deadline=None)
@given(amounts)
def test_a_census_has_no_sampling_error(kg):
    census = rates_of([[13.0] * len(kg)], [kg], households=[len(kg)])

    assert census.variances(weights_of([13 * len(kg)], [1]), correction=1).sum() == 0


@settings(deadline=None)
@given(amounts, st.floats(0.01, 100))
def test_scaling_amounts_scales_totals_and_errors(kg, factor):
    households = [3 * len(kg)]
    weights = weights_of([39 * len(kg)], [1])
    plain = rates_of([[13.0] * len(kg)], [kg], households=households)
    scaled = rates_of([[13.0] * len(kg)], [[factor * one for one in kg]], households=households)

    assert scaled.totals(weights) == pytest.approx(factor * plain.totals(weights))
    # Rounding of squares of the largest amount is all that may differ.
    slack = 1e-9 * (39 * len(kg) * factor * 50) ** 2
    assert scaled.variances(weights) == pytest.approx(factor**2 * plain.variances(weights), abs=slack)
