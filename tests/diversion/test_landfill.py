"""Methane of landfilled waste: closed form, views, and what must hold whatever the numbers."""

import math
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from diversion import factors
from diversion.errors import OutOfRange
from diversion.factors import Precipitation, UnknownFactor
from diversion.landfill import (
    CollectionPhase,
    DecayingMaterial,
    GasCollection,
    PhasesOutOfOrder,
    QuarterOfDiversion,
    lifetime_kg_per_tonne,
    methane_by_calendar_year,
    methane_kg_per_tonne,
)
from diversion.landfill_years import ipcc_yearly_methane, subpart_hh_methane
from diversion.materials import Material

FIRST = factors.load("2026-1")
TYPICAL = GasCollection.preset("typical", factors=FIRST)
BARE = GasCollection(phases=(), oxidation=0, delay_years=0)


def material(kind: Material = Material.FOOD, precipitation: Precipitation = Precipitation.BETWEEN):
    return DecayingMaterial.of(kind, factors=FIRST, precipitation=precipitation)


def gas(
    *phases: tuple[float, float, float], oxidation: float = 0.0, delay_years: float = 0.0
) -> GasCollection:
    return GasCollection(
        phases=tuple(CollectionPhase(from_age=a, to_age=b, efficiency=c) for a, b, c in phases),
        oxidation=oxidation,
        delay_years=delay_years,
    )


def test_the_typical_preset_catches_more_as_waste_ages():
    """Method note, step 10: none for two years, half to five, three quarters to fifteen, then 85 %; OX 0.1, δ 0.5."""
    assert GasCollection.preset("typical", factors=FIRST) == gas(
        (0, 2, 0.0), (2, 5, 0.5), (5, 15, 0.75), (15, math.inf, 0.85), oxidation=0.1, delay_years=0.5
    )


def test_any_decay_above_nothing_is_a_decay():
    slow = DecayingMaterial(doc=0.15, docf=0.5, mcf=1.0, methane_fraction=0.5, k=1e-17)

    assert lifetime_kg_per_tonne(slow, BARE) == pytest.approx(0, abs=1e-10)


@pytest.mark.parametrize(
    ("kind", "precipitation", "lifetime"),
    [
        (Material.FOOD, Precipitation.WET, 22.7512),
        (Material.FOOD, Precipitation.BETWEEN, 19.0324),
        (Material.FOOD, Precipitation.DRY, 13.9460),
        (Material.YARD, Precipitation.WET, 23.2065),
        (Material.YARD, Precipitation.BETWEEN, 20.4613),
    ],
)
def test_lifetime_with_typical_collection(kind, precipitation, lifetime):
    """Reference values computed apart from this package: collection 0 / 50 / 75 / 85 % by age, OX 0.1, δ 0.5."""
    assert lifetime_kg_per_tonne(material(kind, precipitation), TYPICAL) == pytest.approx(lifetime, rel=1e-4)


@pytest.mark.parametrize(
    ("kind", "precipitation", "first_year"),
    [
        (Material.FOOD, Precipitation.WET, 3.9758),
        (Material.FOOD, Precipitation.BETWEEN, 2.6735),
        (Material.FOOD, Precipitation.DRY, 1.3300),
        (Material.YARD, Precipitation.WET, 2.9262),
        (Material.YARD, Precipitation.BETWEEN, 2.2083),
    ],
)
def test_first_year_of_age_with_typical_collection(kind, precipitation, first_year):
    assert methane_kg_per_tonne(material(kind, precipitation), TYPICAL, to_age=1) == pytest.approx(
        first_year, rel=1e-4
    )


def test_calendar_years_of_a_year_of_diversion():
    """10 t of food in each quarter of 2025; reference values computed apart from this package."""
    quarters = [QuarterOfDiversion(year=2025, quarter=quarter, tonnes=10) for quarter in (1, 2, 3, 4)]

    by_year = methane_by_calendar_year(quarters, material(), TYPICAL, first_year=2025, last_year=2400)

    assert [by_year[year] for year in (2025, 2026, 2027, 2030)] == pytest.approx(
        [27.0424, 179.5534, 139.6277, 48.3435], rel=1e-4
    )
    assert math.fsum(by_year.values()) == pytest.approx(761.2986, rel=1e-6)
    assert 40 * lifetime_kg_per_tonne(material(), TYPICAL) == pytest.approx(761.2972, rel=1e-6)


def test_a_flat_efficiency_understates_what_escapes_in_the_first_years():
    by_age = lifetime_kg_per_tonne(material(), TYPICAL)
    flat = lifetime_kg_per_tonne(material(), gas((0, math.inf, 0.75), oxidation=0.1, delay_years=0.5))

    assert (by_age, flat) == (pytest.approx(19.03, abs=5e-3), pytest.approx(11.25, abs=5e-3))
    assert 1 - flat / by_age == pytest.approx(0.41, abs=5e-3)


PHASES = st.lists(st.tuples(st.floats(0.1, 20), st.floats(0, 1)), max_size=4).map(
    lambda steps: [
        (sum(w for w, _ in steps[:i]), sum(w for w, _ in steps[: i + 1]), e) for i, (_, e) in enumerate(steps)
    ]
)


@given(PHASES, st.floats(0.01, 0.5), st.floats(0, 0.9), st.floats(0, 2), st.floats(0, 30), st.floats(0, 30))
def test_the_closed_form_is_the_integral_of_decay(phases, k, oxidation, delay, start, length):
    """Identity: the integral of k·e^(−k(t−δ))·(1 − CE(t))·(1 − OX), piece by piece."""
    waste = DecayingMaterial(doc=0.15, docf=0.5, mcf=1, methane_fraction=0.5, k=k)
    landfill = gas(*phases, oxidation=oxidation, delay_years=delay)

    def escaping(age: float) -> float:
        caught = next((e for a, b, e in phases if a <= age < b), 0.0)
        return k * math.exp(-k * (age - delay)) * (1 - caught) if age >= delay else 0.0

    cuts = sorted({start, start + length, *(p for a, b, _ in phases for p in (a, b)), delay})
    pieces = [(a, b) for a, b in pairwise(cuts) if start <= a and b <= start + length and b - a > 1e-9]
    integral = sum(quad(escaping, a, b - 1e-12)[0] for a, b in pieces)

    closed = methane_kg_per_tonne(waste, landfill, from_age=start, to_age=start + length)

    assert closed == pytest.approx(50 * (1 - oxidation) * integral, abs=1e-6)


@given(PHASES, st.floats(0, 0.5), st.floats(0.01, 0.5))
def test_more_collection_never_means_more_methane(phases, more, k):
    waste = DecayingMaterial(doc=0.2, docf=0.5, mcf=1, methane_fraction=0.5, k=k)
    better = [(a, b, min(1, e + more)) for a, b, e in phases]

    assert lifetime_kg_per_tonne(waste, gas(*better)) <= lifetime_kg_per_tonne(waste, gas(*phases)) + 1e-9


@given(st.integers(0, 60))
def test_calendar_years_add_up_to_the_same_as_one_span_of_age(years):
    quarter = QuarterOfDiversion(year=2025, quarter=2, tonnes=3)

    by_year = methane_by_calendar_year(
        [quarter], material(), TYPICAL, first_year=2025, last_year=2025 + years
    )
    span = methane_kg_per_tonne(material(), TYPICAL, to_age=2026 + years - quarter.middle)

    assert math.fsum(by_year.values()) == pytest.approx(3 * span)
    assert list(by_year) == list(range(2025, 2026 + years))


def test_waste_makes_no_methane_before_it_is_buried_nor_during_the_delay():
    quarter = QuarterOfDiversion(year=2025, quarter=4, tonnes=3)

    assert methane_by_calendar_year([quarter], material(), TYPICAL, first_year=2023, last_year=2025) == {
        2023: 0, 2024: 0, 2025: 0,
    }  # fmt: skip
    assert methane_kg_per_tonne(material(), TYPICAL, to_age=0.5) == 0


def test_ages_that_no_phase_covers_catch_nothing():
    gaps = gas((2, 3, 1.0), (5, 6, 1.0))

    caught = methane_kg_per_tonne(material(), BARE) - methane_kg_per_tonne(material(), gaps)

    in_phases = sum(methane_kg_per_tonne(material(), BARE, from_age=a, to_age=a + 1) for a in (2, 5))
    assert caught == pytest.approx(in_phases)


def test_a_scenario_of_docf_scales_the_methane():
    scenario = material().with_docf(FIRST.docf_food_scenario.value)

    assert lifetime_kg_per_tonne(scenario, TYPICAL) == pytest.approx(
        1.4 * lifetime_kg_per_tonne(material(), TYPICAL)
    )


def test_the_closed_form_gives_the_ipcc_years_when_it_starts_at_new_year():
    """Reaction from 1 January of the year after disposal (M = 13): year n is the n-th year of decay."""
    by_year = ipcc_yearly_methane({2025: 2.0}, material(), last_year=2040)

    assert by_year[2025] == 0
    for year in range(2026, 2041):
        age = year - 2026
        expected = 2 * methane_kg_per_tonne(material(), BARE, from_age=age, to_age=age + 1) / 1000
        assert by_year[year] == pytest.approx(expected)
        assert subpart_hh_methane({2025: 2.0}, material(), year=year) == pytest.approx(expected)


def test_an_earlier_reaction_start_moves_methane_forward_and_changes_no_total():
    """IPCC 2006 Vol 5 Annex 3A.1, recalled: M = 7 puts half a year of decay into the year of disposal."""
    default = ipcc_yearly_methane({2025: 1.0}, material(), last_year=2300)
    july = ipcc_yearly_methane({2025: 1.0}, material(), last_year=2300, reaction_start_month=7)

    half_year = methane_kg_per_tonne(material(), BARE, to_age=0.5) / 1000
    assert july[2025] == pytest.approx(half_year)
    assert sum(july.values()) == pytest.approx(sum(default.values()))


def test_yearly_forms_take_many_years_of_waste():
    tonnes = {2020: 5.0, 2022: 1.0}

    ipcc = ipcc_yearly_methane(tonnes, material(), last_year=2030)
    assert ipcc[2030] == pytest.approx(subpart_hh_methane(tonnes, material(), year=2030))
    assert ipcc_yearly_methane({}, material(), last_year=2030) == {2030: 0}
    assert subpart_hh_methane({2031: 5.0}, material(), year=2031) == 0


@pytest.mark.parametrize("month", [0, 14])
def test_a_reaction_starts_within_thirteen_months(month):
    with pytest.raises(OutOfRange):
        ipcc_yearly_methane({2025: 1.0}, material(), last_year=2026, reaction_start_month=month)


@pytest.mark.parametrize(
    "phases", [[(0, 2, 0.5), (1, 3, 0.5)], [(2, 2, 0.5)], [(3, 2, 0.5)], [(0, math.nan, 0.5)]]
)
def test_phases_that_overlap_or_are_empty_are_refused(phases):
    with pytest.raises(PhasesOutOfOrder, match="List the phases by age") as refused:
        gas(*phases)

    assert refused.value.from_age == phases[-1][0]


@pytest.mark.parametrize(
    ("name", "value"),
    [("doc", 1.1), ("docf", -0.1), ("mcf", math.nan), ("methane_fraction", 2), ("k", 0), ("k", math.inf)],
)
def test_a_material_outside_its_range_cannot_exist(name, value):
    facts = {"doc": 0.15, "docf": 0.5, "mcf": 1.0, "methane_fraction": 0.5, "k": 0.1, name: value}

    with pytest.raises(OutOfRange, match=name) as refused:
        DecayingMaterial(**facts)
    assert refused.value.name.split(",")[0] == name
    assert refused.value.low <= 1


@pytest.mark.parametrize(
    ("make", "name"),
    [
        (lambda: gas((0, 1, 1.5)), "efficiency, share of gas caught"),
        (lambda: gas((-1, 1, 0.5)), "from_age, years"),
        (lambda: gas(oxidation=1.5), "oxidation, share of escaping methane"),
        (lambda: gas(delay_years=-1), "delay_years"),
        (lambda: QuarterOfDiversion(year=2025, quarter=5, tonnes=1), "quarter"),
        (lambda: QuarterOfDiversion(year=2025, quarter=0, tonnes=1), "quarter"),
        (lambda: QuarterOfDiversion(year=2025, quarter=1, tonnes=-1), "tonnes"),
        (
            lambda: ipcc_yearly_methane({}, material(), last_year=2026, reaction_start_month=0),
            "reaction_start_month",
        ),
    ],
)
def test_a_number_outside_its_range_is_named(make, name):
    with pytest.raises(OutOfRange, match="must lie between") as refused:
        make()

    assert refused.value.name == name
    assert str(refused.value).startswith(f"{name} is ")


def test_the_ends_of_a_range_belong_to_it():
    assert QuarterOfDiversion(year=2025, quarter=4, tonnes=0).middle == 2025.875
    assert gas((0, 1, 1.0), oxidation=1.0).oxidation == 1
    january = ipcc_yearly_methane({2025: 1.0}, material(), last_year=2025, reaction_start_month=1)
    assert january[2025] == pytest.approx(methane_kg_per_tonne(material(), BARE, to_age=1) / 1000)


def test_a_shallow_landfill_makes_its_share_of_methane_in_every_form():
    """The methane correction factor multiplies: 0.4 for a shallow unmanaged site, IPCC 2006 Table 3.1, memory."""
    shallow = replace(material(), mcf=0.4)

    assert methane_kg_per_tonne(shallow, TYPICAL) == pytest.approx(
        0.4 * methane_kg_per_tonne(material(), TYPICAL)
    )
    for year in (2026, 2030):
        usual = subpart_hh_methane({2025: 1.0}, material(), year=year)
        assert subpart_hh_methane({2025: 1.0}, shallow, year=year) == pytest.approx(0.4 * usual)
        assert ipcc_yearly_methane({2025: 1.0}, shallow, last_year=year)[year] == pytest.approx(0.4 * usual)


def test_browns_are_no_landfill_material():
    with pytest.raises(UnknownFactor):
        material(Material.BROWNS)
