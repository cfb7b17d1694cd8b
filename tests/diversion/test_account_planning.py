"""Planning from an account's inputs is about the account's own interval."""

import math
from statistics import mean, stdev

import numpy as np
import pytest

from diversion.account import compute
from diversion.account_planning import answers_wanted, call_order_next, calls_next, plan_strata
from diversion.cells import Unit
from diversion.errors import OutOfRange
from diversion.inputs import MethodSettings, Quarter
from diversion.planning import NothingToPlan, pooled_cv, relative_half_width
from diversion.strata import TooFewAnswers
from tests.factories.diversion import (
    WHOLE_QUARTER,
    Answer,
    make_answers,
    make_exposure,
    make_inputs,
    make_quarter,
)

FOOD, YARD = (20, 30, 0, 50, 10), (0, 70, 0, 210, 140)
BANDS = {0: (150, 40), 1: (250, 900), 2: (200, 300), 3: (300, 4000)}  # answers, unanswered households
UNADJUSTED = MethodSettings(apply_ageing=False, apply_season=False)


def small(**differences):
    cell = make_answers([Answer(food=f, yard=y) for f, y in zip(FOOD, YARD, strict=True)], **differences)
    return make_inputs(quarters=(make_quarter(answers=(cell,)),))


def large(bands=BANDS):
    """Log-normal amounts with the same coefficient of variation in every band, but other means and exposures."""
    rng = np.random.default_rng(11)
    exposure, answers = [], []
    for band, (count, silent) in bands.items():
        litres = (10 + 5 * band) * np.exp(rng.normal(0, 0.8, count))
        days = rng.integers(60, WHOLE_QUARTER + 1, count)
        told = [
            Answer(food=round(10 * f), yard=round(4 * f), days=int(d))
            for f, d in zip(litres, days, strict=True)
        ]
        answers.append(make_answers(told, band=band))
        exposed = int(days.sum()) + silent * 76
        exposure.append(make_exposure(band=band, households=count + silent, days=exposed))
    quarter = make_quarter(exposure=tuple(exposure), answers=tuple(answers))
    return make_inputs(quarters=(quarter,), settings=UNADJUSTED)


def half_width_of(account) -> float:
    """Half of the 90 % interval of gross, on the log scale, relative to the estimate."""
    gross = account.figure("gross").alike
    return math.log(gross.upper / gross.lower) / 2


def test_mean_and_deviation_of_a_stratum_are_those_of_its_answers():
    """With equal exposure R and s are the plain mean and sample deviation of kilograms a week."""
    inputs = small()
    per_litre = inputs.factors.food_density.value, inputs.factors.yard_density.value
    told = [(f * per_litre[0] + y * per_litre[1]) / 10 for f, y in zip(FOOD, YARD, strict=True)]

    (stratum,) = plan_strata(inputs)

    assert stratum.kg_per_week == pytest.approx(mean(told))
    assert stratum.sd_kg_per_week == pytest.approx(stdev(told))
    assert (stratum.answers, stratum.households, stratum.household_weeks) == (5, 10, 130)


def test_what_was_weighed_is_kilograms_already():
    (stratum,) = plan_strata(small(food_in=Unit.WEIGHT, yard_in=Unit.WEIGHT))

    assert stratum.kg_per_week == pytest.approx(mean(FOOD) / 100 + mean(YARD) / 100)


def test_strata_bear_the_names_that_the_account_gives_them():
    inputs = large()

    account = compute(inputs)

    assert [one.name for one in plan_strata(inputs)] == [
        f"{one.quarter}, {one.number}" for one in account.strata
    ]
    for planned, estimated in zip(plan_strata(inputs), account.strata, strict=True):
        assert planned.household_weeks == pytest.approx(estimated.household_weeks)
        assert planned.kg_per_week == pytest.approx(
            estimated.gross_food_kg_per_week + estimated.gross_yard_kg_per_week
        )


def test_the_width_now_is_the_width_of_the_account():
    """900 answers: t and z agree, and the pooled spread is everybody's."""
    inputs = large()
    strata = plan_strata(inputs)

    now = relative_half_width(strata, cv=pooled_cv(strata))

    assert now == pytest.approx(half_width_of(compute(inputs)), rel=0.04)
    assert answers_wanted(inputs, wanted_half_width=0.5).half_width_now == now


def test_as_many_answers_as_planned_bring_the_account_to_the_width():
    """The promise itself: invent the answers that the plan asks for, and compute the account again."""
    few = {
        band: (count // 10, unanswered + count - count // 10) for band, (count, unanswered) in BANDS.items()
    }
    wanted = 0.08

    plan = answers_wanted(large(few), wanted_half_width=wanted)

    more = dict(plan.more)
    then = {
        band: (count + more.get(f"2025-Q2, {band + 1}", 0), unanswered - more.get(f"2025-Q2, {band + 1}", 0))
        for band, (count, unanswered) in few.items()
    }
    assert plan.reachable
    assert plan.half_width_then <= wanted < plan.half_width_now
    assert half_width_of(compute(large(then))) == pytest.approx(wanted, rel=0.15)


def test_a_census_wants_no_answers():
    inputs = large({band: (count, 0) for band, (count, _) in BANDS.items()})

    plan = answers_wanted(inputs, wanted_half_width=0.001)

    assert (plan.answers, plan.more, plan.reachable) == (0, (), False)
    assert (
        plan.half_width_then == plan.half_width_now == pytest.approx(half_width_of(compute(inputs)), rel=0.04)
    )
    assert calls_next(inputs, calls=100) == ()


def test_calls_go_to_the_large_strata_first():
    called = calls_next(large(), calls=200)

    assert called[0][0] == "2025-Q2, 4"
    assert sum(count for _, count in called) == 200
    assert calls_next(large(), calls=0) == ()


def test_answers_still_to_be_had_are_about_the_last_quarter():
    second, third = (make_quarter(quarter=Quarter(year=2025, quarter=number)) for number in (2, 3))

    (stratum,) = plan_strata(make_inputs(quarters=(second, third)))

    assert stratum.name == "2025-Q3, 1"


def test_without_answers_or_amounts_there_is_nothing_to_plan():
    few = make_quarter(answers=(make_answers([Answer(food=10)] * 4),))
    stopped = make_quarter(answers=(make_answers([Answer()] * 8, still_composting=False),))

    with pytest.raises(TooFewAnswers):
        plan_strata(make_inputs(quarters=(few,)))
    with pytest.raises(TooFewAnswers):
        plan_strata(make_inputs(quarters=(make_quarter(exposure=(), answers=()),)))
    with pytest.raises(NothingToPlan):
        answers_wanted(make_inputs(quarters=(stopped,)), wanted_half_width=0.2)
    with pytest.raises(OutOfRange):
        answers_wanted(small(), wanted_half_width=0.0)


def test_one_by_one_the_calls_are_those_of_the_whole_list():
    inputs = large()

    order = call_order_next(inputs, calls=200)

    by_stratum = {f"2025-Q2, {number + 1}": order.count(number) for number in set(order)}
    assert by_stratum == dict(calls_next(inputs, calls=200))
