"""Answers that are all alike give an estimate without an interval, and never a number that is none."""

import json
import math

import pytest

from diversion.account import compute
from diversion.account_draws import draw_account
from diversion.account_planning import answers_wanted
from diversion.alike import has_no_spread
from diversion.cells import Prior, Unit
from diversion.figures import Measure, Stream
from diversion.inputs import MethodSettings
from diversion.planning import NoSpread
from tests.factories.diversion import (
    Answer,
    make_answers,
    make_cells,
    make_exposure,
    make_inputs,
    make_quarter,
)

TRASH = {
    "food_trash_percent": 100,
    "food_composted_percent": 0,
    "yard_trash_percent": 100,
    "yard_composted_percent": 0,
    "prior": Prior.NEW,
}


def account_of(rows, **settings):
    exposure = make_exposure(households=40, days=40 * 91)
    quarter = make_quarter(exposure=(exposure,), answers=make_cells(rows))
    return compute(make_inputs(quarters=(quarter,), settings=MethodSettings(**settings)))


def alike(count=8, **key):
    return [Answer(food=30, yard=20, key=TRASH | {"quarter_asked": 2} | key)] * count


def test_no_figure_has_limits_and_the_account_says_why():
    account = account_of(alike())

    for figure in account.figures:
        assert (figure.alike.lower, figure.alike.upper) == (None, None)
        assert (figure.said_lower, figure.said_upper) == (None, None)
        assert all(shown.lower is shown.upper is None for shown in figure.at_odds)
    # By hand: 3 L a week of 0.327 kg/L, 40 households for 13 weeks.
    gross = account.figure(Measure.GROSS, Stream.FOOD)
    assert gross.alike.value == pytest.approx(40 * 13 * 3 * 0.327 / 1000)
    assert gross.headline.value == gross.alike.value
    codes = {note.code for note in account.notes}
    assert {"no_spread", "nobody_stopped"} <= codes
    assert "no_interval" not in codes
    assert math.isfinite(sum(figure.alike.value for figure in account.figures))
    json.dumps(account.to_dict(), allow_nan=False)


def test_ages_and_exposed_days_alone_make_no_spread():
    rows = [
        Answer(food=33, yard=17, days=days, key=TRASH | {"gap_months": gap, "quarter_asked": 2})
        for days, gap in ((91, 0), (37, 3), (64, 9), (80, 14), (91, 2), (53, 1))
    ]

    account = account_of(rows)

    assert account.figure(Measure.GROSS).alike.lower is None
    assert account.figure("net").said_upper is None


def test_one_household_that_differs_is_a_spread():
    account = account_of([*alike(), Answer(food=31, yard=20, key=TRASH | {"quarter_asked": 2})])

    assert account.figure(Measure.GROSS, Stream.FOOD).alike.lower is not None
    assert account.figure(Measure.GROSS, Stream.YARD).alike.lower is None
    assert account.figure(Measure.GROSS).alike.lower is not None
    assert "nobody_stopped" in {note.code for note in account.notes}


@pytest.mark.parametrize(
    "differing",
    [
        {"still_composting": False},
        {"food_in": Unit.WEIGHT},
    ],
)
def test_stopping_or_another_unit_is_a_spread(differing):
    stopped = "still_composting" in differing
    other = Answer(food=0 if stopped else 30, yard=0 if stopped else 20, key=TRASH | differing)

    account = account_of([*alike(), *[other] * 3])

    assert account.figure(Measure.GROSS).alike.lower is not None


def test_other_shares_before_are_a_spread_of_what_they_share_and_not_of_gross():
    account = account_of([*alike(), *alike(4, food_trash_percent=0, food_composted_percent=100)])

    assert account.figure(Measure.GROSS, Stream.FOOD).alike.lower is None
    assert account.figure(Measure.LANDFILL_BOUND, Stream.FOOD).alike.lower is not None
    assert has_no_spread(account.figure(Measure.GROSS, Stream.FOOD))
    assert not has_no_spread(account.figure(Measure.LANDFILL_BOUND, Stream.FOOD))


def test_an_amount_that_was_not_told_says_nothing_of_a_spread():
    rows = [*alike(), *[Answer(yard=20, key=TRASH | {"food_given": False, "quarter_asked": 2})] * 2]

    assert account_of(rows).figure(Measure.GROSS, Stream.FOOD).alike.lower is None


def test_by_the_first_version_of_the_method_the_interval_had_no_width():
    figure = account_of(alike(), version=1, apply_ageing=False, apply_season=False).figure(Measure.GROSS)

    assert figure.alike.lower == pytest.approx(figure.alike.value)


def test_nothing_is_planned_from_answers_without_a_spread():
    exposure = make_exposure(households=40, days=40 * 91)
    answers = (make_answers([Answer(food=30)] * 8),)
    inputs = make_inputs(quarters=(make_quarter(exposure=(exposure,), answers=answers),))

    with pytest.raises(NoSpread, match="All answers are alike"):
        answers_wanted(inputs, wanted_half_width=0.1)
    drawn = draw_account(inputs, seed=1, count=100).figure(Measure.GROSS)
    assert math.isfinite(drawn.lower + drawn.upper)
