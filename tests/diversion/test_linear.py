"""What each answer contributes: shares and amounts that were not given."""

import numpy as np
import pytest

from diversion.cells import Prior, Unit
from diversion.columns import AnswerColumns
from diversion.linear import contributions
from diversion.quarter_rates import Assumptions, quarter_rates
from diversion.retention import NO_AGEING
from diversion.strata import CellKey
from tests.factories.diversion import Answer, make_answers, make_cells, make_exposure, make_quarter

AS_REPORTED = Assumptions(densities=(1, 1, 1, 1), quitting=NO_AGEING, index=None)
GROSS_FOOD, TRASH_FOOD, NEW_FOOD, BEFORE_FOOD = 0, 4, 8, 12


def drawn(cells, bands=(0,), groups=None):
    keys = sorted({CellKey(jurisdiction=c.jurisdiction, family=c.family, band=c.band) for c in cells})
    columns = AnswerColumns.of(
        cells,
        group_of=groups or {key: number for number, key in enumerate(keys)},
        part_of={c.part: 0 for c in cells},
    )
    return columns, contributions(
        columns,
        multipliers=np.ones((len(cells), 2)),
        given=columns.given,
        densities=np.ones(4),
        band_of_group=np.array(bands),
    )


def shares_example():
    amounts = [4, 2, 0, 6, 1, 3, 5, 0, 2, 2]
    percents = [100, 50, None, 20, 100, None, 40, None, 0, 100]
    return [
        make_answers([Answer(food=10 * amount)], food_trash_percent=percent)
        for amount, percent in zip(amounts, percents, strict=True)
    ]


def test_shares_not_given_follow_the_amounts_of_those_who_gave_them():
    """Ten answers, T all 13 weeks; worked out by the designers of the method. The mean of shares, 0.585714, is
    wrong.
    """
    columns, found = drawn(shares_example())

    weeks = columns.first[:, 0]
    u = (
        found.influence.constant[:, TRASH_FOOD]
        + found.influence.slope[:, TRASH_FOOD] * columns.first[:, 1] / weeks
    )
    values = found.value.weekly(columns)
    assert values[:, TRASH_FOOD].sum() / values[:, GROSS_FOOD].sum() == pytest.approx(0.509091, rel=1e-4)
    assert u.mean() == pytest.approx(1.272727, rel=1e-4)
    assert u.std(ddof=1) == pytest.approx(1.319059, rel=1e-4)


def test_the_value_of_a_given_share_is_that_share():
    _, found = drawn(shares_example())

    assert found.value.slope[:, TRASH_FOOD] == pytest.approx(
        [1, 0.5, 28 / 55, 0.2, 1, 28 / 55, 0.4, 28 / 55, 0, 1]
    )


def test_with_fewer_than_five_given_the_share_of_the_whole_band_serves():
    few = [
        make_answers([Answer(food=10)] * 4, food_trash_percent=100),
        make_answers([Answer(food=10)] * 2),
    ]
    others = [make_answers([Answer(food=10)] * 6, jurisdiction="B", food_trash_percent=50)]

    _, found = drawn(few + others, bands=(0, 0))

    # Four gave 100 % and six gave 50 %, all of equal amounts: 70 % of the band.
    assert found.value.slope[:, TRASH_FOOD] == pytest.approx([1, 0.7, 0.5])


def test_with_fewer_than_five_given_in_the_band_everybody_serves():
    few = [make_answers([Answer(food=10)] * 4, food_trash_percent=100), make_answers([Answer(food=10)] * 2)]
    older = [make_answers([Answer(food=10)] * 6, band=2, food_trash_percent=50)]

    _, found = drawn(few + older, bands=(0, 1))

    assert found.value.slope[:, TRASH_FOOD] == pytest.approx([1, 0.7, 0.5])


def test_a_share_that_nobody_gave_counts_as_nothing_and_is_named():
    _, found = drawn(
        [make_answers([Answer(food=10, yard=10)] * 6, food_trash_percent=100, yard_composted_percent=0)]
    )

    assert found.nobody_gave == ("yard share to trash", "food share composted before")
    assert found.value.slope[0, TRASH_FOOD] == 1
    assert found.value.slope[0, BEFORE_FOOD] == 0


def test_only_households_new_to_composting_are_additional():
    cells = [make_answers([Answer(food=10)] * 5, food_trash_percent=100, prior=prior) for prior in Prior]
    _, found = drawn(cells)

    assert found.value.slope[:, NEW_FOOD].tolist() == [1, 0, 0]


def rates_of(rows, households=20):
    cells = make_cells(rows)
    exposure = make_exposure(households=households, days=91 * households)
    return quarter_rates(make_quarter(exposure=(exposure,), answers=cells), AS_REPORTED).rates


def test_an_amount_not_given_is_that_of_the_others_who_still_compost():
    given = [Answer(food=10 * amount) for amount in (1, 2, 3, 4, 5)]
    silent = [Answer(key={"food_given": False})] * 2
    stopped = [Answer(key={"still_composting": False})] * 3

    rates = rates_of(given + silent + stopped)

    # Seven of ten compost, at 3 litres a week each.
    assert rates.rates[0, GROSS_FOOD] == pytest.approx(2.1)


def test_an_amount_not_given_widens_the_interval():
    amounts = [1, 2, 3, 4, 5, 9, 7]
    all_given = [Answer(food=10 * amount) for amount in amounts]
    filled = [Answer(food=10 * amount) for amount in amounts[:5]] + [Answer(key={"food_given": False})] * 2
    plugged = [*amounts[:5], 3, 3]

    as_if_given = rates_of([Answer(food=10 * amount) for amount in plugged])
    rates = rates_of(filled)

    assert rates.rates[0, GROSS_FOOD] == pytest.approx(as_if_given.rates[0, GROSS_FOOD])
    assert (
        rates.covariances[0, GROSS_FOOD, GROSS_FOOD]
        > 1.3 * as_if_given.covariances[0, GROSS_FOOD, GROSS_FOOD]
    )
    assert rates_of(all_given).rates[0, GROSS_FOOD] == pytest.approx(31 / 7)


def test_weights_and_volumes_are_kept_apart():
    rows = [Answer(food=100)] * 3 + [Answer(food=100, key={"food_in": Unit.WEIGHT})] * 2

    rates = rates_of(rows)

    # 10 litres from three of five, 1 kilogram from two of five.
    assert rates.rates[0, :2] == pytest.approx([6, 0.4])
