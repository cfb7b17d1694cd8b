"""The bridge between two accounts starts and ends at their headlines."""

from dataclasses import replace

import pytest

from diversion.account import compute
from diversion.account_bridge import NoBridge, bridge_accounts, drivers_of
from diversion.bridge import ANSWERS, CALIBRATION, LONGER_HOLDING, METHOD, MORE_HOUSEHOLDS
from diversion.calibration import WeighIn, calibrate
from diversion.factors import Horizon
from diversion.inputs import MethodSettings
from tests.factories.diversion import Answer, make_answers, make_exposure, make_inputs, make_quarter

AMOUNTS = (20, 30, 0, 50, 10, 25)
PLAIN = {"apply_ageing": False, "apply_season": False}
SHARES = {
    "food_trash_percent": 60,
    "food_composted_percent": 20,
    "yard_trash_percent": 40,
    "yard_composted_percent": 50,
}


def make_account(*, households=10, days=910, scale=1, **settings):
    answers = make_answers([Answer(food=scale * amount, yard=amount) for amount in AMOUNTS], **SHARES)
    return make_inputs(
        quarters=(
            make_quarter(exposure=(make_exposure(households=households, days=days),), answers=(answers,)),
        ),
        settings=MethodSettings(**{**PLAIN, **settings}),
    )


def changes(found):
    return {part.name: float(part.change) for part in found.parts if part.change}


@pytest.mark.parametrize(
    "figure", ["gross", "landfill_bound", "methane_lifetime", "process", "net", "additional"]
)
def test_it_starts_and_ends_at_the_headlines(figure):
    before, after = make_account(), make_account(households=30, days=2000, scale=2)

    found = bridge_accounts(before, after, figure=figure)

    for side, inputs in ((found.before, before), (found.after, after)):
        assert float(side) == pytest.approx(compute(inputs).figure(figure).headline.value, rel=1e-12)
    assert found.before + sum(part.change for part in found.parts) == found.after


@pytest.mark.parametrize("figure", ["gross", "landfill_bound", "net"])
def test_weigh_ins_alone_change_nothing_but_the_calibration(figure):
    before = make_account()
    weighed = replace(
        before,
        food_weighed=calibrate([WeighIn(reported_litres=10, measured_kg=2 + n / 20) for n in range(20)]),
    )

    found = bridge_accounts(before, weighed, figure=figure)

    assert float(found.after) == pytest.approx(compute(weighed).figure(figure).headline.value, rel=1e-12)
    assert changes(found)[CALIBRATION] == pytest.approx(float(found.after - found.before), rel=1e-9)


def test_more_households_that_behave_alike_are_only_that():
    """All answer at odds 1, so that twice the households with the same weeks each are twice the figure."""
    before, after = make_account(odds=1.0), make_account(households=20, days=1820, odds=1.0)

    found = bridge_accounts(before, after, figure="gross")

    assert changes(found)[MORE_HOUSEHOLDS] == pytest.approx(float(found.before))
    assert sum(abs(change) for name, change in changes(found).items() if name != MORE_HOUSEHOLDS) < 1e-12


def test_longer_holding_larger_answers_and_another_horizon_are_told_apart():
    before = make_account(odds=1.0)
    longer, larger = make_account(days=800, odds=1.0), make_account(scale=3, odds=1.0)
    horizon = make_account(odds=1.0, horizon=Horizon.YEARS_20)

    assert (
        max(changes(bridge_accounts(longer, before, figure="gross")).items(), key=lambda e: e[1])[0]
        == LONGER_HOLDING
    )
    assert (
        max(changes(bridge_accounts(before, larger, figure="gross")).items(), key=lambda e: e[1])[0]
        == ANSWERS
    )
    assert set(changes(bridge_accounts(before, horizon, figure="net"))) == {METHOD}


def test_a_figure_of_nothing_is_bridged_from_nothing():
    nothing = make_inputs(
        quarters=(make_quarter(answers=(make_answers([Answer()] * 6, still_composting=False),)),)
    )

    assert drivers_of(nothing, figure="net").figure_per_kg == {"food": 0.0, "yard": 0.0}
    assert bridge_accounts(nothing, make_account(), figure="gross").before == 0


def test_a_figure_without_a_bridge_says_which_have_one():
    with pytest.raises(NoBridge, match="methane_lifetime") as refused:
        drivers_of(make_account(), figure="savings")

    assert refused.value.figure == "savings"
