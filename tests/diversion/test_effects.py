"""What each group of draws multiplies into the figures."""

import numpy as np
import pytest

from diversion.drawing import Design
from diversion.draws import draw
from diversion.effects import QUITTING, SAMPLING, SEASON, drawn_effects, drawn_totals
from diversion.intervals import multiplier
from diversion.settings import WIDEST_LOG_INTERVAL
from tests.diversion.test_draws import make_inputs, make_totals


@pytest.mark.parametrize(
    ("errors", "present"),
    [
        ({}, {QUITTING, SEASON}),
        ({"quitting_rate_error": 0.0}, {SEASON}),
        ({"season_log_error": 0.0}, {QUITTING}),
        ({"quitting_rate_error": 0.0, "season_log_error": 0.0}, set()),
    ],
)
def test_only_what_is_uncertain_is_drawn(errors, present):
    effects = drawn_effects(make_inputs(**errors), seed=1, count=10)

    assert {QUITTING, SEASON} & set(effects) == present
    assert SAMPLING in effects


def test_an_absurd_spread_is_cut_to_the_widest_interval_that_is_given():
    """The widest interval is Ŷ exp(± 10): on the log scale a standard deviation of 10 over the normal quantile."""
    totals = make_totals(cv=1000.0, correlation=0.0, degrees=np.inf)

    drawn = drawn_totals(totals, design=Design.of(["something else"], seed=2, count=4000))

    gross_food = np.log(drawn[0] / totals.totals.ravel()[0])
    assert gross_food.std() == pytest.approx(WIDEST_LOG_INTERVAL / multiplier(np.inf), rel=0.05)


def test_a_part_whose_whole_is_nothing_is_left_as_it_is():
    landfill_bound_only = [[0] * 4 + [100] * 4 + [0] * 8]

    drawn = drawn_totals(
        make_totals(landfill_bound_only), design=Design.of(["something else"], seed=1, count=500)
    )

    assert drawn.shape == (4, 500)
    assert np.median(drawn) == pytest.approx(100, rel=0.05)


@pytest.mark.parametrize("count", [2, 5, 20])
def test_a_handful_of_draws_is_crude_but_finite(count):
    """There are more uncertain quantities than draws, so that they cannot all be uncorrelated."""
    for figure in draw(make_inputs(), seed=1, count=count).figures:
        assert np.isfinite([figure.lower, figure.median, figure.upper]).all()
        assert figure.lower <= figure.median <= figure.upper


def test_every_drawn_figure_has_its_unit():
    figures = draw(make_inputs(), seed=1, count=20).figures

    assert {(figure.name, figure.unit) for figure in figures} == {
        ("gross", "t"),
        ("landfill_bound", "t"),
        ("additional", "t"),
        ("composted_before", "t"),
        ("methane_lifetime", "kg CH4"),
        ("process", "t CO2e"),
        ("net", "t CO2e"),
    }


def test_a_figure_that_is_not_drawn_is_named_in_the_error():
    with pytest.raises(KeyError, match="gold"):
        draw(make_inputs(), seed=1, count=20).figure("gold")
