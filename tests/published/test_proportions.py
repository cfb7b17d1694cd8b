"""Intervals for proportions against SciPy, statsmodels and the NIST handbook."""

import pytest
from scipy.stats import binomtest
from statsmodels.stats.proportion import confint_proportions_2indep, proportion_confint

from diversion.errors import OutOfRange
from diversion.proportions import clopper_pearson, newcombe, wilson

# Printed by scipy and statsmodels, 95 %.
PRINTED = [
    (81, 263, (0.252737, 0.367622), (0.255289, 0.366210)),
    (15, 148, (0.057844, 0.161650), (0.062386, 0.160487)),
    (0, 20, (0.0, 0.168433), (0.0, 0.161125)),
]


@pytest.mark.parametrize(("count", "of", "exact", "score"), PRINTED)
def test_both_intervals_as_printed(count, of, exact, score):
    found_exact = clopper_pearson(count=count, of=of, confidence=0.95)
    found_score = wilson(count=count, of=of, confidence=0.95)

    assert (found_exact.lower, found_exact.upper) == pytest.approx(exact, abs=1e-6)
    assert (found_score.lower, found_score.upper) == pytest.approx(score, abs=1e-6)


def test_the_handbooks_example():
    """NIST/SEMATECH e-Handbook 7.2.4.2: 4 of 20, 90 %, exact limits (seen)."""
    found = clopper_pearson(count=4, of=20, confidence=0.90)

    assert (found.lower, found.upper) == pytest.approx((0.071354, 0.401028), abs=1e-6)


@pytest.mark.parametrize("count", [0, 1, 7, 29, 30])
def test_every_count_agrees_with_the_reference_libraries(count):
    exact, score = clopper_pearson(count=count, of=30), wilson(count=count, of=30)

    reference = binomtest(count, 30).proportion_ci(confidence_level=0.9, method="exact")
    assert (exact.lower, exact.upper) == pytest.approx(tuple(reference), abs=1e-9)
    expected = proportion_confint(count, 30, alpha=0.1, method="wilson")
    assert (score.lower, score.upper) == pytest.approx(expected, abs=1e-9)


def test_the_difference_of_two_shares_as_newcombe_printed_it():
    """Newcombe (1998), table II, example (a): 56/70 - 48/80, method 10, 95 % (from memory)."""
    found = newcombe(first=(56, 70), second=(48, 80), confidence=0.95)

    assert (found.lower, found.upper) == pytest.approx((0.0524, 0.3339), abs=5e-5)
    assert found.difference == pytest.approx(0.2)
    assert found.is_clear


@pytest.mark.parametrize(
    ("first", "second"), [((9, 10), (3, 10)), ((0, 12), (5, 9)), ((7, 7), (7, 7)), ((1, 40), (2, 41))]
)
def test_differences_agree_with_the_reference_library(first, second):
    found = newcombe(first=first, second=second)

    expected = confint_proportions_2indep(*first, *second, method="newcomb", alpha=0.1)
    assert (found.lower, found.upper) == pytest.approx(expected, abs=1e-9)
    assert found.is_clear == (not expected[0] <= 0 <= expected[1])


def test_a_difference_of_nothing_is_refused():
    with pytest.raises(OutOfRange):
        newcombe(first=(0, 0), second=(1, 2))
