"""What a filing freezes of its inputs comes back as it was, to the last bit."""

import json
import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diversion.account import compute
from diversion.calibration import Calibration
from diversion.cells import Prior, QuitCount, Unit
from diversion.factors import Horizon, Precipitation, Report
from diversion.inputs import (
    AccountInputs,
    EarlierTonnes,
    JurisdictionSettings,
    MethodSettings,
    Quarter,
    QuarterCells,
)
from diversion.materials import Material
from outreach.filings import frozen_inputs
from outreach.filings.report import as_text, digest
from tests.factories.diversion import Answer, make_answers, make_exposure, make_inputs

SHARES = st.sampled_from([(None, None), (0, 0), (100, 0), (33, 67), (1, 98)])
POSITIVE = st.floats(1e-9, 1e9)
CALIBRATIONS = st.none() | st.builds(
    Calibration,
    kg_per_litre=POSITIVE,
    standard_error=POSITIVE,
    lower=st.none() | POSITIVE,
    upper=st.none() | POSITIVE,
    homes=st.integers(20, 500),
    are_volunteers=st.booleans(),
)
COLLECTIONS = st.sampled_from(["typical", "none"]) | st.floats(0, 1).map(
    lambda share: ((0.0, 2.5, 0.0), (2.5, math.inf, share))
)
SETTINGS = st.builds(
    MethodSettings,
    odds=st.just(2.5),
    odds_shown=st.just((1.0, 2.5, 7.0)),
    report=st.sampled_from(Report),
    horizon=st.sampled_from(Horizon),
    food_docf_scenario=st.booleans(),
    n2o_as_printed=st.booleans(),
    apply_ageing=st.booleans(),
    apply_season=st.booleans(),
    calendar_years=st.sampled_from([(), (2025,), (2024, 2030)]),
)


@st.composite
def answer_cells(draw):
    still, (food, yard) = draw(st.booleans()), draw(st.tuples(SHARES, SHARES))
    most = 10**6 if still else 0
    told = draw(
        st.lists(
            st.builds(Answer, food=st.integers(0, most), yard=st.integers(0, most), days=st.integers(1, 92)),
            min_size=1,
            max_size=3,
        )
    )
    return make_answers(
        told,
        gap_months=draw(st.integers(0, 18) | st.floats(0, 18)),
        quarter_asked=draw(st.integers(0, 4)),
        food_in=draw(st.sampled_from(Unit)),
        yard_in=draw(st.sampled_from(Unit)),
        food_trash_percent=food[0],
        food_composted_percent=food[1],
        yard_trash_percent=yard[0],
        yard_composted_percent=yard[1],
        prior=draw(st.sampled_from(Prior)),
        still_composting=still,
    )


@st.composite
def account_inputs(draw) -> AccountInputs:
    place = JurisdictionSettings(
        code="A",
        landfilled_share=draw(st.floats(0, 1)),
        yard_banned=draw(st.booleans()),
        precipitation=draw(st.sampled_from(Precipitation)),
        collection=draw(COLLECTIONS),
        oxidation=draw(st.none() | st.floats(0, 1)),
    )
    quarters = tuple(
        QuarterCells(
            quarter=Quarter(year=2025, quarter=number),
            exposure=(make_exposure(households=12, days=1104, unasked_households=1, unasked_days=7),),
            answers=tuple(draw(st.lists(answer_cells(), max_size=3))),
        )
        for number in range(1, draw(st.integers(2, 4)))
    )
    return make_inputs(
        quarters=quarters,
        jurisdictions=(place,),
        quits=tuple(
            draw(
                st.lists(
                    st.builds(
                        QuitCount,
                        months=st.floats(0, 60) | st.integers(0, 60),
                        still=st.integers(0, 99),
                        stopped=st.integers(0, 99),
                    ),
                    max_size=3,
                )
            )
        ),
        settings=draw(SETTINGS),
        earlier=(
            EarlierTonnes(
                quarter=Quarter(year=2024, quarter=4),
                jurisdiction="A",
                material=draw(st.sampled_from([Material.FOOD, Material.YARD])),
                landfill_bound_tonnes=draw(st.floats(0, 1e6)),
            ),
        ),
        food_weighed=draw(CALIBRATIONS),
        yard_weighed=draw(CALIBRATIONS),
    )


@settings(deadline=None, max_examples=60)
@given(account_inputs())
def test_inputs_thaw_as_they_were_frozen(inputs):
    stored = json.loads(as_text(frozen_inputs.to_dict(inputs)))

    thawed = frozen_inputs.from_dict(stored)

    assert thawed == inputs
    assert digest(frozen_inputs.to_dict(thawed)) == digest(stored)
    assert thawed.settings.horizon is inputs.settings.horizon


def test_every_field_of_the_inputs_is_frozen():
    assert set(frozen_inputs.to_dict(make_inputs())) == set(AccountInputs.__dataclass_fields__)


def test_a_thawed_account_with_weigh_ins_has_the_same_figures():
    ratio = Calibration(
        kg_per_litre=0.31, standard_error=0.01, lower=0.29, upper=0.33, homes=20, are_volunteers=True
    )
    inputs = make_inputs(food_weighed=ratio)

    thawed = frozen_inputs.from_dict(json.loads(as_text(frozen_inputs.to_dict(inputs))))

    assert thawed.food_weighed == ratio
    assert compute(thawed) == compute(inputs)
    assert compute(thawed) != compute(make_inputs())


def test_another_factor_set_of_the_same_name_is_refused():
    stored = frozen_inputs.to_dict(make_inputs())
    stored["factors"] = {**stored["factors"], "sha256": "0" * 64}

    with pytest.raises(frozen_inputs.FactorsChanged, match="Install the software version"):
        frozen_inputs.from_dict(stored)


def test_weigh_ins_change_the_digest():
    ratio = Calibration(
        kg_per_litre=0.31, standard_error=0.01, lower=None, upper=None, homes=20, are_volunteers=False
    )
    one, other = (
        frozen_inputs.to_dict(replace(make_inputs(), yard_weighed=given)) for given in (None, ratio)
    )

    assert digest(one) != digest(other)
