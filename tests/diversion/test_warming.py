"""Net warming: what is avoided, what composting emits, and what is only a memo."""

import pytest

from diversion import factors
from diversion.errors import OutOfRange
from diversion.factors import Horizon, Precipitation, Report
from diversion.landfill import DecayingMaterial, GasCollection, lifetime_kg_per_tonne
from diversion.materials import Material
from diversion.process import CompostingProcess
from diversion.warming import (
    MaterialBalance,
    Warming,
    avoided_haulage_kg_co2,
    net_warming,
    stored_carbon_kg_co2_per_tonne,
)

FIRST = factors.load("2026-1")
PROCESS = CompostingProcess.published(factors=FIRST)
AR6 = Warming.under(Report.AR6, Horizon.YEARS_100, factors=FIRST)


def decaying(kind: Material, precipitation: Precipitation = Precipitation.BETWEEN) -> DecayingMaterial:
    return DecayingMaterial.of(kind, factors=FIRST, precipitation=precipitation)


def balance(
    kind: Material,
    *,
    gross: float,
    trash: float,
    before: float,
    precipitation: Precipitation = Precipitation.BETWEEN,
) -> MaterialBalance:
    waste, gas = decaying(kind, precipitation), GasCollection.preset("typical", factors=FIRST)
    return MaterialBalance(
        gross_tonnes=gross,
        landfill_tonnes=trash,
        composted_before_tonnes=before,
        methane_kg_per_tonne=lifetime_kg_per_tonne(waste, gas),
        stored_carbon_kg_per_tonne=stored_carbon_kg_co2_per_tonne(waste),
    )


def test_net_of_food_and_trimmings():
    """100 t food (80 trash, 10 composted before, 10 disposer), 60 t trimmings (15 trash, 30 composted, 15 lawn).

    Reference values computed apart from this package, k 0.1225 and 0.075, AR6 27/273, 4 and 0.24 g/kg.
    """
    food = balance(Material.FOOD, gross=100, trash=80, before=10)
    trimmings = balance(Material.YARD, gross=60, trash=15, before=30)

    net = net_warming([food, trimmings], process=PROCESS, warming=AR6)

    assert net.avoided_kg_co2e / 1000 == pytest.approx(49.3969, rel=1e-5)
    assert net.process_kg_co2e / 1000 == pytest.approx(0.17352 * 120, rel=1e-9)
    assert net.net_kg_co2e / 1000 == pytest.approx(28.5745, rel=1e-5)


def test_composting_costs_more_than_it_saves_where_trimmings_never_went_to_landfill():
    """Under a yard ban 70 % went to the cart, 30 % stayed on the lawn: −0.052 t CO2e per tonne, and printable."""
    net = net_warming([balance(Material.YARD, gross=1, trash=0, before=0.7)], process=PROCESS, warming=AR6)

    assert net.net_kg_co2e == pytest.approx(-52, abs=0.5)


@pytest.mark.parametrize(("gross", "before", "tonnes"), [(1, 0, -0.048), (1, 0.5, 0.039), (0.2, 0, 0.091)])
def test_only_what_is_newly_composted_compares_with_what_would_have_been(gross, before, tonnes):
    """A tonne of trimmings, 20 % trash, 50 % green cart, 30 % lawn, wet site.

    Reference values computed apart from this package. Netting process emissions of everything (−0.048) or of the
    landfill-bound part alone (+0.091) is wrong either way; gross less composted before (+0.039) is the comparison.
    """
    trimmings = balance(Material.YARD, gross=gross, trash=0.2, before=before, precipitation=Precipitation.WET)

    net = net_warming([trimmings], process=PROCESS, warming=AR6)

    assert net.net_kg_co2e / 1000 == pytest.approx(tonnes, abs=5e-4)


def test_browns_emit_in_the_bin_and_are_credited_nothing():
    food = balance(Material.FOOD, gross=1, trash=1, before=0)

    without = net_warming([food], process=PROCESS, warming=AR6)
    with_browns = net_warming([food], process=PROCESS, warming=AR6, browns_tonnes=2)

    assert without.net_kg_co2e - with_browns.net_kg_co2e == pytest.approx(2 * 173.52)
    assert with_browns.methane_avoided_kg == without.methane_avoided_kg


def test_memo_lines_are_not_in_the_net():
    trimmings = balance(Material.YARD, gross=1, trash=1, before=0)

    net = net_warming([trimmings], process=PROCESS, warming=AR6)

    assert net.stored_carbon_kg_co2 == pytest.approx(1000 * 0.2 * 0.5 * 44 / 12)
    assert net.net_kg_co2e == net.avoided_kg_co2e - net.process_kg_co2e
    assert avoided_haulage_kg_co2(
        landfill_tonnes=10, distance_km=40, kg_co2_per_tonne_km=0.1
    ) == pytest.approx(40)


def test_the_first_print_of_the_nitrous_oxide_figure_can_be_chosen():
    printed = CompostingProcess.published(factors=FIRST, n2o_as_printed=True)

    assert AR6.of_process(printed) == pytest.approx(4 * 27 + 0.3 * 273)


@pytest.mark.parametrize(
    "make",
    [
        lambda: CompostingProcess(ch4_kg_per_tonne=-1, n2o_kg_per_tonne=0),
        lambda: CompostingProcess(ch4_kg_per_tonne=0, n2o_kg_per_tonne=float("nan")),
        lambda: Warming(ch4=-1, n2o=1, report=Report.AR5, horizon=Horizon.YEARS_20),
        lambda: Warming(ch4=1, n2o=-1, report=Report.AR5, horizon=Horizon.YEARS_20),
        lambda: balance(Material.FOOD, gross=-1, trash=0, before=0),
        lambda: balance(Material.FOOD, gross=1, trash=-1, before=0),
        lambda: net_warming([], process=PROCESS, warming=AR6, browns_tonnes=-1),
        lambda: avoided_haulage_kg_co2(landfill_tonnes=1, distance_km=-1, kg_co2_per_tonne_km=1),
    ],
)
def test_negative_masses_and_potentials_are_refused(make):
    with pytest.raises(OutOfRange, match="Correct it where it was entered"):
        make()
