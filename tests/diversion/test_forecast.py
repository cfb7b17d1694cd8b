"""A year to come as a fan."""

import math

import pytest
from scipy import stats

from diversion.errors import OutOfRange
from diversion.forecast import ForecastBasis, PlannedWorkshop, forecast

WEEKS = 52.1775 / 12


def make_basis(**differences) -> ForecastBasis:
    facts = {
        "households_now": 100,
        "kg_per_household_week": 3.0,
        "relative_error": 0.0,
        "uptake": 0.8,
        "uptake_sd": 0.0,
        "quitting_rate": 0.0,
        "quitting_rate_error": 0.0,
    }
    return ForecastBasis(**{**facts, **differences})


def ends(basis: ForecastBasis, workshops=(), *, months: int = 12) -> list[tuple[float, ...]]:
    return [point.tonnes for point in forecast(basis, workshops, months=months, seed=1, count=4000)]


def test_without_doubt_it_is_plain_arithmetic():
    """By hand: 100 households at 3 kg; from month 2, 40 of 50 bins more, half of them a month in their first."""
    found = ends(make_basis(), [PlannedWorkshop(month=2, bins=50)], months=4)

    by_month = [300 * WEEKS, 300 * WEEKS, (100 + 20) * 3 * WEEKS, 140 * 3 * WEEKS]
    for month, tonnes in enumerate(found):
        assert tonnes == pytest.approx([sum(by_month[: month + 1]) / 1000] * 5)


def test_households_quit_from_month_to_month():
    (tonnes, *_), *_ = ends(make_basis(quitting_rate=0.1), months=1)

    assert tonnes == pytest.approx(300 * WEEKS * math.exp(-0.05) / 1000)


def test_the_season_moves_tonnes_between_months():
    first, second = ends(make_basis(season=(0.5, 1.5)), months=2)

    assert second[0] == pytest.approx(4 * first[0])


def test_the_fan_opens_by_the_error_of_the_mean():
    """Reference: a log-normal's quantiles by SciPy."""
    (tonnes,) = ends(make_basis(relative_error=0.2), months=1)

    expected = [300 * WEEKS / 1000 * math.exp(0.2 * stats.norm.ppf(p)) for p in (0.05, 0.25, 0.5, 0.75, 0.95)]
    assert tonnes == pytest.approx(expected, rel=2e-3)


def test_uncertain_uptake_widens_only_what_workshops_add():
    certain, uncertain = (
        ends(make_basis(uptake_sd=sd), [PlannedWorkshop(month=0, bins=100)], months=2) for sd in (0, 0.1)
    )

    assert certain[1][0] == pytest.approx(certain[1][-1])
    assert uncertain[1][0] < certain[1][0] < uncertain[1][-1]
    assert uncertain[1][2] == pytest.approx(certain[1][2], rel=0.01)


def test_nobody_takes_home_more_bins_than_were_brought():
    (tonnes,) = ends(
        make_basis(households_now=0, uptake=1.0, uptake_sd=0.5), [PlannedWorkshop(month=0, bins=10)], months=1
    )

    assert tonnes[-1] == pytest.approx(10 * 3 * WEEKS / 2 / 1000)


def test_the_same_seed_gives_the_same_fan():
    basis, planned = (
        make_basis(relative_error=0.2, quitting_rate=0.01, quitting_rate_error=0.02),
        [PlannedWorkshop(month=1, bins=9)],
    )

    assert ends(basis, planned) == ends(basis, planned)


@pytest.mark.parametrize(
    "make",
    [
        lambda: make_basis(uptake=1.2),
        lambda: make_basis(households_now=-1),
        lambda: make_basis(season=(-1.0,)),
        lambda: PlannedWorkshop(month=-1, bins=1),
        lambda: PlannedWorkshop(month=0, bins=-1),
        lambda: ends(make_basis(), months=0),
        lambda: ends(make_basis(season=(1.0,)), months=2),
    ],
)
def test_numbers_outside_their_range_are_refused(make):
    with pytest.raises(OutOfRange):
        make()


def test_bins_that_are_out_already_count_whole():
    """By hand: all 50 bins from the middle of the month, whatever the uptake of workshops."""
    (tonnes,) = ends(make_basis(uptake_sd=0.3), [PlannedWorkshop(month=0, bins=50, are_out=True)], months=1)

    assert tonnes == pytest.approx([(100 + 25) * 3 * WEEKS / 1000] * 5)
