"""The draws of an account are about the account's own headline."""

from dataclasses import replace

import pytest

from diversion.account import compute
from diversion.account_draws import condition, draw_account
from diversion.calibration import Calibration
from diversion.cells import Unit
from diversion.draws import CONDITION
from diversion.factors import Precipitation, load
from diversion.inputs import JurisdictionSettings, MethodSettings, Quarter
from diversion.strata import TooFewAnswers
from tests.factories.diversion import Answer, make_answers, make_exposure, make_inputs, make_quarter

FIRST = load("2026-1")
AMOUNTS = (20, 30, 0, 50, 10, 25, 15, 40)
EVERYTHING = MethodSettings()
NAMES = ("gross", "landfill_bound", "additional", "composted_before", "methane_lifetime", "process", "net")
SHARES = {
    "food_trash_percent": 60,
    "food_composted_percent": 30,
    "yard_trash_percent": 40,
    "yard_composted_percent": 50,
}


def two_places(quarter: Quarter, *, unit: Unit = Unit.VOLUME):
    """Two jurisdictions with a few answers each, some of them months old."""
    answers = [
        make_answers(
            [Answer(food=amount, yard=3 * amount) for amount in AMOUNTS],
            jurisdiction=code,
            gap_months=gap,
            quarter_asked=asked,
            food_in=unit,
            yard_in=unit,
            **SHARES,
        )
        for code, gap, asked in (("A", 4, 2), ("B", 9, 1))
    ]
    return make_quarter(
        quarter=quarter,
        exposure=tuple(make_exposure(jurisdiction=code, households=30, days=2730) for code in "AB"),
        answers=tuple(answers),
    )


def make_two(**differences):
    places = (
        JurisdictionSettings(
            code="A", landfilled_share=0.7, precipitation=Precipitation.WET, collection="none"
        ),
        JurisdictionSettings(code="B", yard_banned=True, oxidation=0.25),
    )
    facts = {
        "quarters": (two_places(Quarter(year=2025, quarter=2)),),
        "jurisdictions": places,
        "settings": EVERYTHING,
    }
    return make_inputs(**{**facts, **differences})


def weighed_at(kg_per_litre: float, *, are_volunteers: bool = False) -> Calibration:
    return Calibration(
        kg_per_litre=kg_per_litre,
        standard_error=kg_per_litre / 20,
        lower=kg_per_litre * 0.92,
        upper=kg_per_litre * 1.09,
        homes=30,
        are_volunteers=are_volunteers,
    )


WEIGH_INS = {
    "none": {},
    "food": {"food_weighed": weighed_at(0.4)},
    "yard": {"yard_weighed": weighed_at(0.11, are_volunteers=True)},
    "both": {"food_weighed": weighed_at(0.21, are_volunteers=True), "yard_weighed": weighed_at(0.3)},
}


@pytest.mark.parametrize("weigh_ins", WEIGH_INS.values(), ids=list(WEIGH_INS))
@pytest.mark.parametrize("odds", [1.0, 2.0, 4.0])
@pytest.mark.parametrize("unit", list(Unit))
def test_the_centre_of_the_draws_is_the_headline(odds, unit, weigh_ins):
    quarters = tuple(two_places(Quarter(year=2025, quarter=number), unit=unit) for number in (2, 3))
    settings = MethodSettings(odds=odds, food_docf_scenario=True)
    inputs = make_two(quarters=quarters, settings=settings, **weigh_ins)

    drawn, account = draw_account(inputs, seed=1, count=50), compute(inputs)

    for name in NAMES:
        for stream in ("food", "yard", "both"):
            headline = account.figure(name, stream).headline.value
            assert drawn.figure(name, stream).central == pytest.approx(headline, rel=1e-9, abs=1e-9)


def test_with_certain_factors_the_limits_are_those_of_the_account():
    """One place, food by volume only: both are Ŷ exp(± t√V/Ŷ), one drawn and one computed."""
    certain = replace(FIRST, factors=tuple(replace(f, low=f.value, high=f.value) for f in FIRST.factors))
    answers = make_answers([Answer(food=amount) for amount in AMOUNTS], **SHARES)
    settings = MethodSettings(odds=1, apply_ageing=False, apply_season=False)
    inputs = make_inputs(factors=certain, quarters=(make_quarter(answers=(answers,)),), settings=settings)

    drawn = draw_account(inputs, seed=1).figure("gross", "food")
    alike = compute(inputs).figure("gross", "food").alike

    assert (drawn.lower, drawn.upper) == pytest.approx((alike.lower, alike.upper), rel=5e-3)


def test_factors_make_the_interval_wider():
    inputs = make_two()

    drawn, account = draw_account(inputs, seed=1), compute(inputs).figure("gross")

    assert (
        drawn.figure("gross").upper / drawn.figure("gross").lower > account.alike.upper / account.alike.lower
    )
    groups = {share.group for share in drawn.figure("gross", "yard").shares.groups}
    assert {"who answered", "quitting rate", "season of yard trimmings", "density of yard"} == groups


def test_the_same_answers_in_two_quarters_leave_the_relative_error_as_it_is():
    answers = make_answers([Answer(food=amount) for amount in AMOUNTS])
    quarters = tuple(make_quarter(quarter=Quarter(year=2025, quarter=n), answers=(answers,)) for n in (2, 3))

    one, two = (
        draw_account(make_inputs(quarters=some), seed=1).figure("gross") for some in (quarters[:1], quarters)
    )

    assert two.central == pytest.approx(2 * one.central)
    assert two.upper / two.lower == pytest.approx(one.upper / one.lower, rel=1e-6)


def test_weigh_ins_take_the_place_of_the_density():
    usual, weighed = make_two(), make_two(food_weighed=weighed_at(0.4))

    before, after = (draw_account(inputs, seed=1, count=500) for inputs in (usual, weighed))

    ratio = after.figure("gross", "food").central / before.figure("gross", "food").central
    assert ratio == pytest.approx(0.4 / FIRST.food_density.value)
    assert "density of food" not in {share.group for share in after.figure("gross").shares.groups}


def test_with_weigh_ins_the_published_density_no_longer_matters():
    """Acceptance of step 9: another range of the density changes neither the headline nor any draw."""
    doubled = replace(
        FIRST,
        factors=tuple(
            replace(f, low=f.low / 2, value=2 * f.value, high=4 * f.high) if "density" in f.key else f
            for f in FIRST.factors
        ),
    )
    usual = make_two(**WEIGH_INS["both"])
    other = replace(usual, factors=doubled)

    assert doubled.food_density.value == 2 * FIRST.food_density.value
    assert compute(other).figures == compute(usual).figures
    assert draw_account(other, seed=3, count=200) == draw_account(usual, seed=3, count=200)


def test_the_limits_say_what_they_are_given():
    assert condition(1) == CONDITION
    assert draw_account(make_two(), seed=1, count=50).condition == condition(EVERYTHING.odds)
    assert "1/2 as high" in condition(2.0)


def test_where_nobody_composts_the_draws_are_nothing():
    stopped = make_answers([Answer()] * 6, still_composting=False)
    inputs = make_inputs(quarters=(make_quarter(answers=(stopped,)),))

    assert draw_account(inputs, seed=1, count=50).figure("net").upper == 0


def test_without_answers_there_is_nothing_to_draw():
    inputs = make_inputs(quarters=(make_quarter(answers=()),))

    with pytest.raises(TooFewAnswers):
        draw_account(inputs, seed=1)
