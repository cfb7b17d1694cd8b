"""Browns: estimated where they were asked about, in the emissions of composting and off the net."""

import math
from dataclasses import replace

import pytest

from diversion.account import compute
from diversion.account_draws import draw_account
from diversion.browns import browns_of
from diversion.cells import BadCell
from diversion.figures import Stream
from diversion.inputs import MethodSettings, Quarter
from tests.factories.diversion import (
    Answer,
    make_answers,
    make_cells,
    make_exposure,
    make_inputs,
    make_quarter,
)

TOLD = {"browns_given": True}
# Ten households in use all quarter; six compost and tell browns, two compost and do not, two stopped.
ROWS = [
    *[Answer(food=30 + n, browns=b, key=TOLD) for n, b in enumerate((10, 20, 0, 30, 40, 20))],
    *[Answer(food=20 + n) for n in range(2)],
    *[Answer(key={"still_composting": False, "browns_given": True})] * 2,
]
WEEKS = 13


def quarter_of(rows, households=20, **differences):
    exposure = (make_exposure(households=households, days=91 * households),)
    return make_quarter(exposure=exposure, answers=make_cells(rows), **differences)


def account_of(rows, **settings):
    usual = {"apply_ageing": False, "apply_season": False}
    return compute(make_inputs(quarters=(quarter_of(rows),), settings=MethodSettings(**(usual | settings))))


def found(*quarters, quitting=0.0):
    return browns_of(quarters, kg_per_litre=0.07, quitting_per_month=quitting)


def test_tonnes_are_the_mean_of_those_who_told_times_the_share_that_composts():
    """By hand: a mean of 2 L a week, 8 of 10 compost, 20 households for 13 weeks, 0.07 kg/L: 29.12 kg."""
    browns = found(quarter_of(ROWS))

    assert browns.tonnes == pytest.approx(20 * WEEKS * 0.8 * 2 * 0.07 / 1000)
    assert browns.nothing == pytest.approx(browns.tonnes / 2)
    assert (browns.told, browns.degrees_of_freedom, browns.composting) == (6, 5, pytest.approx(0.8))


def test_the_error_is_that_of_a_mean_and_of_a_share():
    """By hand: amounts 1, 2, 0, 3, 4, 2 L have Σ(b − 2)² = 10, so the mean's variance is 10/(6·5), before the half
    correction 1 − 6/40; the share's is 0.8·0.2/10."""
    browns = found(quarter_of(ROWS))

    relative = math.sqrt((1 - 6 / 40) * (0.8**2 * 10 / 30 + 2**2 * 0.8 * 0.2 / 10)) / (0.8 * 2)
    assert browns.standard_error == pytest.approx(browns.tonnes * relative)


def test_amounts_are_aged_as_food_is():
    old = [Answer(browns=20, key=TOLD | {"gap_months": 10})] * 6

    assert found(quarter_of(old), quitting=0.01).tonnes == pytest.approx(
        found(quarter_of(old)).tonnes * math.exp(-0.1)
    )


def test_quarters_add_up_and_so_do_their_errors():
    one, two = quarter_of(ROWS), quarter_of(ROWS, quarter=Quarter(year=2025, quarter=3))

    both = found(one, two)

    assert both.tonnes == pytest.approx(2 * found(one).tonnes)
    assert both.standard_error == pytest.approx(2 * found(one).standard_error)


def test_they_emit_and_come_off_the_net():
    without = account_of(
        [Answer(food=row.food, key={k: v for k, v in row.key.items() if k != "browns_given"}) for row in ROWS]
    )
    account = account_of(ROWS)

    each = (
        next(
            entry.value
            for step in account.working.steps
            for entry in step.figures
            if entry.name == "composting of a tonne"
        )
        / 1000
    )
    for odds in (1.0, 2.0, 4.0):
        browns = found(quarter_of(ROWS)).at(odds) * each
        assert account.figure("process").at(odds).value == pytest.approx(
            without.figure("process").at(odds).value + browns
        )
        assert account.figure("net").at(odds).value == pytest.approx(
            without.figure("net").at(odds).value - browns
        )
    net = account.figure("net")
    assert net.said_lower < net.headline.value < net.said_upper
    assert net.alike.standard_error > without.figure("net").alike.standard_error
    food, without_food = (one.figure("process", Stream.FOOD).headline for one in (account, without))
    assert food.value == pytest.approx(without_food.value)
    assert "browns_counted" in {note.code for note in account.notes}
    assert "browns_not_asked" in {note.code for note in without.notes}


def test_draws_hold_them_at_the_headline_assumption():
    inputs = make_inputs(quarters=(quarter_of(ROWS),))

    drawn = draw_account(inputs, seed=1, count=200)

    assert drawn.figure("process").central == pytest.approx(compute(inputs).figure("process").headline.value)
    assert (
        draw_account(inputs, seed=1, count=200, browns_tonnes=0.0).figure("process").central
        < drawn.figure("process").central
    )


def test_where_too_few_told_or_nobody_was_asked_they_count_as_nothing():
    few = [*ROWS[:4], *[Answer(food=30)] * 4]

    assert found(quarter_of(few)) is None
    assert found(quarter_of(ROWS), quarter_of(few, quarter=Quarter(year=2025, quarter=3))) is None
    assert found() is None


@pytest.mark.parametrize(
    "wrong",
    [
        {"browns_given": False},
        {"days_browns": -91},
        {"days_sq_browns_sq": 1},
    ],
)
def test_sums_that_contradict_themselves_are_refused(wrong):
    cell = make_answers([Answer(browns=20)], browns_given=True)

    with pytest.raises(BadCell):
        replace(cell, **wrong)
