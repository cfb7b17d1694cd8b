"""Inputs of an account that do not fit together are refused when they are made."""

import pytest

from diversion.errors import OutOfRange
from diversion.inputs import BadInputs, EarlierTonnes, JurisdictionSettings, MethodSettings, Quarter
from diversion.materials import Material
from tests.factories.diversion import Answer, make_answers, make_exposure, make_inputs, make_quarter

SECOND, FOURTH = Quarter(year=2025, quarter=2), Quarter(year=2025, quarter=4)


def test_a_quarter_knows_its_middle_and_its_name():
    assert (str(SECOND), SECOND.middle, Quarter(year=2025, quarter=1).middle) == (
        "2025-Q2",
        2025.375,
        2025.125,
    )


@pytest.mark.parametrize("quarter", [0, 5])
def test_there_are_four_quarters(quarter):
    with pytest.raises(OutOfRange, match="quarter"):
        Quarter(year=2025, quarter=quarter)


def test_a_period_needs_a_quarter():
    with pytest.raises(BadInputs, match="at least one quarter"):
        make_inputs(quarters=())


def test_quarters_follow_one_another():
    with pytest.raises(BadInputs, match="must follow one another"):
        make_inputs(quarters=(make_quarter(quarter=SECOND), make_quarter(quarter=FOURTH)))


def test_earlier_tonnes_are_of_earlier_quarters():
    same = EarlierTonnes(quarter=SECOND, jurisdiction="A", material=Material.FOOD, landfill_bound_tonnes=1)

    with pytest.raises(BadInputs, match="would count twice"):
        make_inputs(earlier=(same,))


def test_earlier_tonnes_are_not_negative():
    with pytest.raises(OutOfRange):
        EarlierTonnes(quarter=SECOND, jurisdiction="A", material=Material.FOOD, landfill_bound_tonnes=-1)


def test_every_jurisdiction_needs_its_landfill():
    with pytest.raises(BadInputs, match=r"No landfill settings for A\. Add them under Set-up"):
        make_inputs(jurisdictions=(JurisdictionSettings(code="B"),))


def test_a_jurisdiction_has_one_landfill():
    with pytest.raises(BadInputs, match="two landfill settings"):
        make_inputs(jurisdictions=(JurisdictionSettings(code="A"), JurisdictionSettings(code="A")))


@pytest.mark.parametrize("differences", [{"landfilled_share": 1.1}, {"oxidation": -0.1}])
def test_shares_of_a_jurisdiction_are_shares(differences):
    with pytest.raises(OutOfRange, match="in A"):
        JurisdictionSettings(code="A", **differences)


@pytest.mark.parametrize(
    "exposure",
    [
        make_exposure(households=4, days=400),
        make_exposure(households=10, days=454),
        make_exposure(households=10, days=910, unasked_households=6, unasked_days=400),
        make_exposure(district="2"),
    ],
    ids=["too few households", "too few days", "not asked", "elsewhere"],
)
def test_answers_have_asked_households_behind_them(exposure):
    answers = make_answers([Answer(food=10)] * 5)

    with pytest.raises(BadInputs, match="2025-Q2: 5 answers over 455 days in A/1/mesh/1"):
        make_inputs(quarters=(make_quarter(exposure=(exposure,), answers=(answers,)),))


@pytest.mark.parametrize(
    ("differences", "error", "message"),
    [
        ({"odds": 3.0}, BadInputs, "must hold 1 and the headline's"),
        ({"odds_shown": (2.0, 4.0)}, BadInputs, "must hold 1 and the headline's"),
        ({"odds_shown": (1.0, 4.0, 2.0)}, BadInputs, "smallest first"),
        ({"odds_shown": (0.5, 1.0, 2.0)}, OutOfRange, "odds"),
    ],
)
def test_assumptions_about_the_silent_are_checked(differences, error, message):
    with pytest.raises(error, match=message):
        MethodSettings(**differences)
