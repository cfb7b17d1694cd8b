"""Landfill methane and warming potentials against numbers from outside, each with its source and status."""

import math

import globalwarmingpotentials
import pytest

from diversion import factors
from diversion.factors import Horizon, Report
from diversion.landfill import (
    CollectionPhase,
    DecayingMaterial,
    GasCollection,
    lifetime_kg_per_tonne,
    methane_kg_per_tonne,
)
from diversion.landfill_years import ipcc_yearly_methane, subpart_hh_methane

FIRST = factors.load("2026-1")
NO_GAS_SYSTEM = GasCollection(phases=(), oxidation=0, delay_years=0)


def decaying(*, doc: float = 0.15, k: float = 0.1) -> DecayingMaterial:
    return DecayingMaterial(doc=doc, docf=0.5, mcf=1, methane_fraction=0.5, k=k)


@pytest.mark.parametrize(
    ("doc", "cubic_metres", "by_mass"), [(0.15, 74.0, 0.0500), (0.20, 98.7, 0.0667), (0.31, 153.0, 0.1033)]
)
def test_methane_potential(doc, cubic_metres, by_mass):
    """EPA GHGRP Q&A 102 on 40 CFR 98 subpart HH: L0 = 493.5 × DOC m³/Mg, DOC × 16/12 × 0.25 by mass. Seen."""
    potential = decaying(doc=doc).potential_kg_per_tonne

    assert potential / 1000 == pytest.approx(by_mass, abs=5e-5)
    assert potential / 0.6754 == pytest.approx(cubic_metres, abs=0.06)  # density that 493.5 implies: computed
    assert 493.5 * doc == pytest.approx(cubic_metres, abs=0.06)


@pytest.mark.parametrize(
    ("half_life", "k", "ninety_percent"),
    [(10, 0.0693, 33), (3, 0.231, 10), (6, None, 19.92), (3, None, 9.96)],
)
def test_ninety_percent_decayed(half_life, k, ninety_percent):
    """Textbook solutions of first-order decay in landfills, by half-life. Seen."""
    rate = math.log(2) / half_life
    waste = decaying(k=rate)

    decayed = methane_kg_per_tonne(waste, NO_GAS_SYSTEM, to_age=ninety_percent) / waste.potential_kg_per_tonne

    assert k is None or rate == pytest.approx(k, abs=5e-4)
    assert decayed == pytest.approx(0.9, abs=2e-3)


@pytest.mark.parametrize(
    ("doc", "k", "years", "twenty", "ultimate"),
    [
        (0.15, 0.185, (8.4448, 7.0185, 5.8331), 48.764, 50.000),  # food, temperate wet
        (0.15, 0.06, (2.9118, 2.7422, 2.5825), 34.940, 50.000),  # food, temperate dry
        (0.20, 0.10, (6.3442, 5.7404, 5.1942), 57.644, 66.667),  # garden, temperate wet
    ],
)
def test_years_of_decay(doc, k, years, twenty, ultimate):
    """From IPCC 2006 Vol. 5 Ch. 3 equations as recalled: memory. No oxidation, no collection."""
    waste = decaying(doc=doc, k=k)

    by_year = [methane_kg_per_tonne(waste, NO_GAS_SYSTEM, from_age=age, to_age=age + 1) for age in range(20)]
    recursion = ipcc_yearly_methane({2000: 1.0}, waste, last_year=2020)

    assert by_year[:3] == pytest.approx(years, abs=5e-5)
    assert sum(by_year) == pytest.approx(twenty, abs=5e-4)
    assert waste.potential_kg_per_tonne == pytest.approx(ultimate, abs=5e-4)
    assert [1000 * recursion[2001 + age] for age in range(20)] == pytest.approx(by_year)
    assert 1000 * subpart_hh_methane({2000: 1.0}, waste, year=2001) == pytest.approx(years[0], abs=5e-5)


@pytest.mark.parametrize(("of_2024", "expected"), [(False, 63.5), (True, 72.5)])
def test_collection_averaged_over_areas(of_2024, expected):
    """40 CFR 98 Table HH-3: areas 10, 20, 30, 40; formula seen, arithmetic ours. The text of 2024 had 60/75/95."""
    covers = ("no-system", "daily-cover", "intermediate-cover", "final-cover")
    efficiencies = (
        (0, 0.60, 0.75, 0.95) if of_2024 else [FIRST[f"collection.{cover}"].value for cover in covers]
    )

    average = sum(area * efficiency for area, efficiency in zip((10, 20, 30, 40), efficiencies, strict=True))

    assert average == pytest.approx(expected)


@pytest.mark.parametrize("oxidation", [0, 0.1, 0.25, 0.35, 1])
def test_without_recovery_only_oxidation_counts(oxidation):
    """EPA GHGRP Q&A 743: with no gas recovered, emitted = generated × (1 − OX) by either route. Seen; property."""
    gas = GasCollection(
        phases=(CollectionPhase(from_age=0, to_age=math.inf, efficiency=0),),
        oxidation=oxidation,
        delay_years=0,
    )

    generated = lifetime_kg_per_tonne(decaying(), NO_GAS_SYSTEM)

    assert lifetime_kg_per_tonne(decaying(), gas) == pytest.approx(generated * (1 - oxidation))


@pytest.mark.parametrize(
    ("report", "package_name"),
    [(Report.AR4, "AR4GWP100"), (Report.AR5, "AR5GWP100"), (Report.AR6, "AR6GWP100")],
)
def test_warming_potentials_agree_with_the_data_package(report, package_name):
    """The data package has no fossil/non-fossil split, so AR6 methane is compared undivided."""
    published = globalwarmingpotentials.data[package_name]

    methane = FIRST.gwp_ch4(report, Horizon.YEARS_100).value
    if report is Report.AR6:
        methane = FIRST["gwp.AR6.100.ch4.undifferentiated"].value
    assert methane == published["CH4"]
    assert FIRST.gwp_n2o(report, Horizon.YEARS_100).value == published["N2O"]


def test_warming_potentials_over_twenty_years_agree_with_the_data_package():
    published = globalwarmingpotentials.data["AR6GWP20"]

    assert FIRST["gwp.AR6.20.ch4.undifferentiated"].value == published["CH4"]
    assert FIRST.gwp_n2o(Report.AR6, Horizon.YEARS_20).value == published["N2O"]


def test_non_fossil_methane_warms_less_than_the_undivided_figure():
    """AR6 Table 7.15: 27.0 non-fossil against 29.8 fossil, second-hand; 27.9 lies between."""
    non_fossil = FIRST.gwp_ch4(Report.AR6, Horizon.YEARS_100)

    assert non_fossil.value < FIRST["gwp.AR6.100.ch4.undifferentiated"].value < 29.8
    assert non_fossil.status == "second-hand"


@pytest.mark.parametrize(
    ("report", "n2o", "kg"),
    [("AR4", 0.24, 171.5), ("AR5", 0.24, 175.6), ("AR6", 0.24, 173.5), ("AR6", 0.3, 189.9)],
)
def test_warming_of_a_tonne_composted(report, n2o, kg):
    """IPCC 2006 Vol. 5 Ch. 4 Table 4.1, 4 and 0.24 (or 0.3 as printed) g/kg wet; arithmetic on the values shown."""
    ch4 = FIRST.process_ch4.value * FIRST.gwp_ch4(Report(report), Horizon.YEARS_100).value
    total = ch4 + n2o * FIRST.gwp_n2o(Report(report), Horizon.YEARS_100).value

    assert total == pytest.approx(kg, abs=0.06)
    assert n2o in {FIRST.process_n2o.value, FIRST.process_n2o_as_printed.value}
