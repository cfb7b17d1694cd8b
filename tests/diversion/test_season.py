"""Yard trimmings by calendar quarter."""

import pytest

from diversion.errors import OutOfRange
from diversion.factors import load
from diversion.season import IncompleteIndex, YardIndex

INDEX = YardIndex.from_months([0.4, 0.4, 0.7, 1.2, 1.6, 1.6, 1.3, 1.0, 0.9, 1.3, 1.2, 0.4])


def test_answers_of_eighteen_months_as_they_are_mistake_the_season():
    """One answer in each of the 18 months that end with the quarter, true rate 1 (by arithmetic)."""
    ratios = []
    for quarter in range(4):
        asked = [(quarter - back) % 4 for back in range(6)]
        as_is = sum(INDEX.by_quarter[number] for number in asked) / len(asked)
        ratios.append(as_is / INDEX.by_quarter[quarter])

    assert ratios == pytest.approx([1.8222, 0.6780, 1.0208, 1.0402], rel=1e-4)


@pytest.mark.parametrize("quarter", [1, 2, 3, 4])
def test_the_index_undoes_the_season_of_answers_at_their_quarters_mean(quarter):
    for asked in (1, 2, 3, 4):
        amount = INDEX.by_quarter[asked - 1]

        assert amount * INDEX.multiplier(to_quarter=quarter, asked=asked) == pytest.approx(
            INDEX.by_quarter[quarter - 1]
        )


def test_an_amount_about_no_known_month_is_taken_as_the_mean_of_the_year():
    assert INDEX.multiplier(to_quarter=1, asked=0) == pytest.approx(0.5)


def test_the_factor_sets_index_averages_to_one():
    assert sum(YardIndex.from_months(load("2026-1").yard_index_by_month).by_quarter) == pytest.approx(4)


def test_an_index_needs_twelve_months():
    with pytest.raises(IncompleteIndex, match="this one has 3") as caught:
        YardIndex.from_months([1, 1, 1])

    assert caught.value.months == 3


def test_an_index_below_zero_is_refused():
    with pytest.raises(OutOfRange):
        YardIndex(by_quarter=(-1.0, 1.0, 2.0, 2.0))
