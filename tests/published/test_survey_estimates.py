"""Ratio totals against R's `survey` package and a textbook.

R `survey` 4.1-1 on its `api` data (200 schools of California, stratified by type), printed by R; `data/apistrat.csv`
holds the columns used. Lehtonen and Pahkinen, Practical Methods for Design and Analysis of Complex Surveys, p. 46,
seen.
"""

import csv
from pathlib import Path

import numpy as np
import pytest

from diversion.population import GroupRates, group_rates

SCHOOLS = Path(__file__).parent / "data" / "apistrat.csv"
FULL_CORRECTION, NO_CORRECTION = 1, 0
POPULATION = {"E": 4421, "H": 755, "M": 1018}
PRINTED = {"rel": 1e-8}


def read_schools():
    with SCHOOLS.open(encoding="utf-8") as lines:
        rows = list(csv.DictReader(lines))
    return [
        {
            name: np.array([float(row[name]) for row in rows if row["stype"] == kind])
            for name in ("api00", "enroll", "api_stu")
        }
        for kind in POPULATION
    ]


@pytest.fixture(scope="module")
def schools():
    return read_schools()


def rates_of(strata, population, auxiliary=None) -> GroupRates:
    """Rates per unit of the auxiliary (1 each unless given); strata[h] is an array of shape (n, Q) of totals."""
    weights = [np.ones(len(values)) if auxiliary is None else auxiliary[h] for h, values in enumerate(strata)]
    z = [np.column_stack([weight, values]) for weight, values in zip(weights, strata, strict=True)]
    return group_rates(
        answered=np.array([weight.sum() for weight in weights]),
        weekly=np.array([values.sum(axis=0) for values in strata]),
        squares=np.array([one.T @ one for one in z]),
        answers=np.array([len(values) for values in strata]),
        households=np.array(population),
    )


def weights_of(exposure, *rows):
    return np.einsum("h,fq->fhq", np.array(exposure, dtype=float), np.array(rows, dtype=float))


def estimate(rates, exposure, correction):
    weights = weights_of(exposure, [1])
    return rates.totals(weights)[0], np.sqrt(rates.variances(weights, correction=correction).sum())


def test_stratified_mean_with_finite_population_correction(schools):
    sizes = list(POPULATION.values())
    rates = rates_of([school["api00"][:, None] for school in schools], sizes)

    found = estimate(rates, np.array(sizes) / sum(sizes), FULL_CORRECTION)

    assert found == pytest.approx((662.28736316, 9.40894080), **PRINTED)


@pytest.mark.parametrize(
    ("correction", "error"), [(FULL_CORRECTION, 114641.71610078), (NO_CORRECTION, 117319.08596896)]
)
def test_stratified_total(schools, correction, error):
    sizes = list(POPULATION.values())
    rates = rates_of([school["enroll"][:, None] for school in schools], sizes)

    assert estimate(rates, sizes, correction) == pytest.approx((3687177.53243828, error), **PRINTED)


def test_ratio_of_two_totals_from_their_joint_covariance(schools):
    """R's `svyratio`, combined: needs the covariance of numerator and denominator.

    Seven digits: R took the weights of the file, which were rounded to single precision.
    """
    sizes = list(POPULATION.values())
    rates = rates_of([np.column_stack([school["api_stu"], school["enroll"]]) for school in schools], sizes)
    weights = weights_of(sizes, [1, 0], [0, 1])
    above, below = rates.totals(weights)
    covariance = rates.covariance(weights, correction=FULL_CORRECTION)

    ratio = above / below
    slope = np.array([1, -ratio]) / below

    assert ratio == pytest.approx(0.8369568869, rel=1e-9)
    assert np.sqrt(slope @ covariance @ slope) == pytest.approx(0.0077571032, rel=1e-7)


def test_separate_ratio_total_is_how_tonnes_are_estimated(schools):
    """R's `svyratio(separate=TRUE)` and `predict`: students tested, with enrolment in place of household-weeks."""
    rates = rates_of(
        [school["api_stu"][:, None] for school in schools],
        list(POPULATION.values()),
        auxiliary=[school["enroll"] for school in schools],
    )

    found = estimate(rates, [1877350, 1013824, 920298], FULL_CORRECTION)

    assert found == pytest.approx((3190021.94557, 29756.4386045), rel=1e-7)


def test_a_province_of_eight_sampled_municipalities():
    """Lehtonen and Pahkinen, p. 46: strata of 8 and 24 municipalities; printed to the unit."""
    strata = [np.array([[4123.0], [721.0]]), np.array([[194.0], [129.0], [239.0], [61.0], [262.0], [166.0]])]
    rates = rates_of(strata, [8, 24])

    total, error = estimate(rates, [8, 24], FULL_CORRECTION)

    assert total == pytest.approx(23580)
    assert round(error) == 11801


@pytest.mark.parametrize(
    ("correction", "error"), [(FULL_CORRECTION, 0.61604072), (NO_CORRECTION, 0.74126833)]
)
def test_eight_rows_in_two_strata(correction, error):
    """Mean of eight rows, printed by R `survey` and by two Python packages alike."""
    strata = [np.array([[2.8], [4.1], [6.8], [6.8], [9.2]]), np.array([[3.7], [6.6], [4.2]])]

    found = estimate(rates_of(strata, [15, 12]), np.array([15, 12]) / 27, correction)

    assert found == pytest.approx((5.44814812, error), rel=1e-7)


def test_a_total_of_some_keeps_the_others_as_nothing(schools):
    """Cochran (1977), section 5A.13 (from memory): a domain's total takes y = 0 outside it, over the whole sample.

    Students of schools with api00 under 600, as households new to composting are among all. Taking only the rows of the
    domain, as if its size were known, understates the error; in one published case by 42 %.
    """
    sizes = list(POPULATION.values())
    inside = [school["api00"] < 600 for school in schools]
    zeros = [np.where(one, school["enroll"], 0.0) for one, school in zip(inside, schools, strict=True)]

    total, error = estimate(rates_of([one[:, None] for one in zeros], sizes), sizes, FULL_CORRECTION)

    counted = [len(one) for one in zeros]
    parts = zip(sizes, counted, zeros, strict=True)
    expected = sum(N * N * (1 - n / N) / n * one.var(ddof=1) for N, n, one in parts)
    assert total == pytest.approx(sum(N * one.mean() for N, one in zip(sizes, zeros, strict=True)))
    assert error == pytest.approx(np.sqrt(expected))
    kept = [one[at] for one, at in zip(zeros, inside, strict=True)]
    share = [at.mean() for at in inside]
    dropped = sum(
        (N * s) ** 2 * (1 - n / N) / len(one) * one.var(ddof=1)
        for N, s, n, one in zip(sizes, share, counted, kept, strict=True)
    )
    assert np.sqrt(dropped) < 0.8 * error
