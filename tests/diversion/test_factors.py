import datetime
import math
import pickle

import pytest

from diversion import DiversionError, factors
from diversion.factors import BadFactor, Horizon, Precipitation, PublishedFactor, Report, Status
from diversion.factors.loading import read_factor_set
from diversion.materials import Material

# A released set never changes. If this test fails, put the table back and make a new set for the correction.
RELEASED = {"2026-1": "0e40de3324922ec6da657e2eef5c294e15bf8bb01213c0e1e0de96077f029a0d"}

FACTS = {
    "key": "density.food",
    "meaning": "food scraps",
    "value": 2.0,
    "low": 1.0,
    "high": 3.0,
    "unit": "kg/L",
    "source": "a book",
    "locator": "table 1",
    "year": 2016,
    "status": Status.SEEN,
    "range_status": Status.MEMORY,
}
TABLE = b"""
name = "try"
released_on = 2026-01-01
[sources.book]
title = "A book"
year = 2001
[[factor]]
key = "mcf"
meaning = "one thing"
value = 1
unit = "1"
source = "book"
locator = "p. 1"
status = "memory"
[[collection]]
name = "half"
meaning = "half of it"
phases = [[0, 10, 0.5]]
status = "assumed"
note = ""
"""


def test_a_released_set_never_changes():
    assert {name: factors.load(name).digest for name in factors.available()} == RELEASED


def test_the_latest_set_is_the_default():
    assert factors.load() is factors.load(factors.LATEST)
    assert factors.available()[-1] == factors.LATEST
    assert isinstance(factors.load().released_on, datetime.date)


def test_an_unknown_set_says_which_there_are():
    with pytest.raises(factors.UnknownFactorSet, match="2026-1") as refused:
        factors.load("1999-9")

    assert (refused.value.name, refused.value.known) == ("1999-9", factors.available())


def test_values_settled_for_the_first_set():
    first = factors.load("2026-1")

    assert (first.food_density.low, first.food_density.value, first.food_density.high) == (
        0.235,
        0.327,
        0.455,
    )
    # 396 lb per cubic yard and 3.8 lb per gallon, and their geometric mean
    assert first.food_density.low == pytest.approx(396 * 0.45359237 / 764.554858, abs=5e-4)
    assert first.food_density.high == pytest.approx(3.8 * 0.45359237 / 3.785411784, abs=5e-4)
    assert first.food_density.value == pytest.approx(math.sqrt(0.235 * 0.455), abs=5e-4)
    assert first.yard_density.value == pytest.approx(250 * 0.593276 / 1000, abs=5e-5)
    ks = {
        material: [first.k(material, p).value for p in Precipitation]
        for material in (Material.FOOD, Material.YARD)
    }
    assert ks == {Material.FOOD: [0.06, 0.1225, 0.185], Material.YARD: [0.05, 0.075, 0.10]}
    assert [first.doc(material).value for material in (Material.FOOD, Material.YARD)] == [0.15, 0.20]
    assert (first.docf.value, first.docf_food_scenario.value) == (0.5, 0.7)
    assert (first.mcf.value, first.methane_fraction.value, first.oxidation.value) == (1, 0.5, 0.1)
    assert first.delay_years.value == 0.5
    assert (first.process_ch4.value, first.process_n2o.value) == (4, 0.24)
    assert first.process_n2o_as_printed.value == 0.3
    assert first.gwp_ch4(Report.AR6, Horizon.YEARS_100).value == 27
    assert first.gwp_n2o(Report.AR6, Horizon.YEARS_100).value == 273
    assert first.yard_index_by_month == (0.4, 0.4, 0.7, 1.2, 1.6, 1.6, 1.3, 1.0, 0.9, 1.3, 1.2, 0.4)
    assert sum(first.yard_index_by_month) / 12 == pytest.approx(1)
    assert first.collection_preset("none").phases == ()
    assert first.collection_preset("typical").phases == (
        (0, 2, 0), (2, 5, 0.5), (5, 15, 0.75), (15, math.inf, 0.85),
    )  # fmt: skip


def test_every_report_has_both_gases_at_both_horizons():
    first = factors.load()

    for report in Report:
        for horizon in Horizon:
            assert first.gwp_ch4(report, horizon).value > 1
            assert first.gwp_n2o(report, horizon).value > 100


def test_choices_are_not_drawn_and_uncertainties_are():
    first = factors.load()

    assert not any(
        factor.has_range for key, factor in first.by_key.items() if key.startswith(("gwp", "docf"))
    )
    assert first.food_density.has_range
    assert first["weigh-ins.volunteers"].low == 0.75


def test_a_missing_factor_is_named():
    with pytest.raises(factors.UnknownFactor, match=r"k\.browns\.wet") as refused:
        factors.load().k(Material.BROWNS, Precipitation.WET)
    assert (refused.value.key, refused.value.factor_set) == ("k.browns.wet", factors.LATEST)

    with pytest.raises(factors.UnknownFactor, match="collection perfect"):
        factors.load().collection_preset("perfect")


def test_the_table_for_documents_prints_how_far_each_number_was_checked():
    heading, *rows = factors.load().as_table()
    by_key = {row[0]: dict(zip(heading, row, strict=True)) for row in rows}

    assert by_key["density.food"]["checked"] == "assumed; range second-hand"
    assert by_key["density.food"]["range"] == "0.235 to 0.455"
    assert by_key["docf"]["checked"] == "seen"
    assert by_key["docf"]["range"] == ""
    assert by_key["gwp.AR6.100.ch4"]["checked"] == "second-hand"
    assert by_key["process.n2o"]["checked"] == "memory; range seen"
    assert len(rows) == len(factors.load().factors)


def test_a_set_can_be_compared_hashed_and_sent_to_another_process():
    first = factors.load()
    again = pickle.loads(pickle.dumps(first))

    assert again == first
    assert hash(again) == hash(first)
    assert again["mcf"] == first["mcf"]


@pytest.mark.parametrize(
    ("difference", "because"),
    [
        ({"value": 4.0}, "out of order"),
        ({"low": 2.5}, "out of order"),
        ({"high": math.inf}, "finite"),
        ({"value": math.nan}, "finite"),
        ({"source": ""}, "lacks"),
        ({"locator": ""}, "lacks"),
    ],
)
def test_a_factor_that_contradicts_itself_cannot_exist(difference, because):
    with pytest.raises(BadFactor, match=because) as refused:
        PublishedFactor(**{**FACTS, **difference})

    assert refused.value.key == "density.food"
    assert isinstance(refused.value, DiversionError)


def test_a_key_stands_once_in_a_set():
    twice = TABLE.replace(
        b"[[collection]]",
        TABLE[TABLE.index(b"[[factor]]") : TABLE.index(b"[[collection]]")] + b"[[collection]]",
    )

    assert read_factor_set(TABLE)["mcf"].status == Status.MEMORY
    with pytest.raises(BadFactor, match="twice"):
        read_factor_set(twice)
