"""Yard trimmings asked about in any season, filed for one: simulations of our own, no source.

600 households in one stratum, a third of them answering, each about a month of one of the six quarters before the end
of the period. Amounts follow the index of the factor set; four in five compost.
"""

import numpy as np
import pytest

from diversion.factors import load
from diversion.intervals import log_limits
from diversion.quarter_rates import Assumptions, quarter_rates
from diversion.retention import NO_AGEING
from diversion.season import YardIndex
from diversion.terms import quarter_terms
from tests.factories.diversion import Answer, make_cells, make_exposure, make_quarter

INDEX = YardIndex.from_months(load("2026-1").yard_index_by_month)
HOUSEHOLDS, YARD_BY_VOLUME, PERIOD = 600, 2, 2
WEEKS = 13


def one_run(run, *, share_answering, index, fewest=30):
    """Whether the interval holds the truth, and the estimate over it; litres of the second quarter."""
    g = np.random.default_rng([41, run])
    composts = g.random(HOUSEHOLDS) < 0.8
    usual = 200 * np.exp(0.8 * g.standard_normal(HOUSEHOLDS) - 0.32)  # decilitres a week in a mean quarter
    truth = WEEKS * (usual * composts).sum() / 10 * INDEX.by_quarter[PERIOD - 1]
    asked = (PERIOD - 1 - g.integers(0, 6, HOUSEHOLDS)) % 4 + 1
    reported = (
        usual * np.array(INDEX.by_quarter)[asked - 1] * np.exp(0.5 * g.standard_normal(HOUSEHOLDS) - 0.125)
    )
    answers = g.random(HOUSEHOLDS) < share_answering
    rows = [
        Answer(
            yard=round(amount) if active else 0, key={"quarter_asked": quarter, "still_composting": active}
        )
        for amount, active, quarter in zip(
            reported[answers].tolist(), composts[answers].tolist(), asked[answers].tolist(), strict=True
        )
    ]
    exposure = make_exposure(households=HOUSEHOLDS, days=91 * HOUSEHOLDS)
    assumptions = Assumptions(
        densities=(1, 1, 1, 1), quitting=NO_AGEING, index=index, season_fewest_answers=fewest
    )
    rates = quarter_rates(make_quarter(exposure=(exposure,), answers=make_cells(rows)), assumptions)
    weights = np.zeros((1, 1, 16))
    weights[0, 0, YARD_BY_VOLUME] = 1
    terms = quarter_terms(rates, weights)
    season = (index.log_error if index else 0) * np.sqrt((terms.by_index[0] ** 2).sum())
    limits = log_limits(terms.value[0], np.hypot(terms.error[0], season), terms.degrees_of_freedom[0])
    return limits[0] <= truth <= limits[1], terms.value[0] / truth, rates.season == "quarter"


def many_runs(runs, **how):
    found = np.array([one_run(run, **how) for run in range(runs)])
    return 100 * found[:, 0].mean(), 100 * (found[:, 1].mean() - 1), found[:, 2].mean()


@pytest.mark.slow
def test_answers_about_the_quarter_alone_are_unbiased():
    """Some 67 answers, of skewed amounts, tell the amount: the interval is a little short, as simulations of the
    method's designers found (85 to 89 % in programmes of medium size).
    """
    covered, bias, alone = many_runs(500, share_answering=1 / 3, index=INDEX)

    print(f"quarter alone: covered {covered:.1f}, bias {bias:+.1f} %")
    assert alone > 0.99
    assert 83 <= covered <= 92
    assert abs(bias) <= 2


@pytest.mark.slow
def test_with_few_answers_the_index_removes_the_season():
    covered, bias, alone = many_runs(500, share_answering=1 / 12, index=INDEX)

    print(f"index: covered {covered:.1f}, bias {bias:+.1f} %")
    assert alone < 0.2
    # The index is exact here, so that its assumed error makes the interval cover more than it says.
    assert covered >= 88
    assert abs(bias) <= 3


@pytest.mark.slow
def test_taken_as_they_are_the_answers_mistake_the_season():
    """By arithmetic 0.678 of the truth in the second quarter."""
    _, bias, _ = many_runs(200, share_answering=1 / 3, index=None)

    assert bias == pytest.approx(-32.2, abs=2)
