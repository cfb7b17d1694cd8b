"""Each figure as weights on the weekly rates: what a unit of each quantity counts in tonnes, methane or
CO2e.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from diversion.columns import AMOUNTS, MATERIAL_OF_AMOUNT
from diversion.conversions import KG_PER_TONNE
from diversion.factors import FactorSet
from diversion.figures import Measure, Stream
from diversion.inputs import AccountInputs, JurisdictionSettings, MethodSettings, Quarter
from diversion.landfill import CollectionPhase, DecayingMaterial, GasCollection, methane_kg_per_tonne
from diversion.linear import ASKED, MEASURES
from diversion.population import Array
from diversion.settings import LIFETIME_YEARS
from diversion.warming import Warming, stored_carbon_kg_co2_per_tonne

STREAMS = tuple(Stream)
TONNES = "t"
KG_METHANE = "kg CH4"
TONNES_CO2E = "t CO2e"
TONNES_CO2 = "t CO2"


@dataclass(frozen=True, slots=True, kw_only=True)
class FigureName:
    """What a figure is, before it has a value. `signed`: may be negative, so that its limits are
    symmetric.
    """

    name: str
    stream: Stream
    unit: str
    signed: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Site:
    """A jurisdiction's landfill: how each material decays there, and how the gas is caught."""

    settings: JurisdictionSettings
    materials: tuple[DecayingMaterial, ...]
    gas: GasCollection

    @classmethod
    def of(cls, settings: JurisdictionSettings, *, factors: FactorSet, method: MethodSettings) -> "Site":
        """The site at the central values of the factor set and in the scenario of the method settings."""
        food, trimmings = (
            DecayingMaterial.of(material, factors=factors, precipitation=settings.precipitation)
            for material in ASKED
        )
        if method.food_docf_scenario:
            food = food.with_docf(factors.docf_food_scenario.value)
        return cls(settings=settings, materials=(food, trimmings), gas=gas_collection(settings, factors))

    def methane(self, *, from_age: float = 0.0, to_age: float = LIFETIME_YEARS) -> Array:
        """Methane of a buried tonne between two ages, by material, shape (2,). [kg/t]"""
        return np.array(
            [
                methane_kg_per_tonne(material, self.gas, from_age=from_age, to_age=to_age)
                for material in self.materials
            ]
        )

    def methane_in(self, year: int, *, buried: Quarter) -> Array:
        """Methane in a calendar year of a tonne buried in the middle of a quarter, shape (2,). [kg/t]"""
        age = year - buried.middle
        return self.methane(from_age=age, to_age=age + 1)

    def stored_carbon(self) -> Array:
        """Carbon that would have stayed buried, as CO2, shape (2,). [kg/t]"""
        return np.array([stored_carbon_kg_co2_per_tonne(material) for material in self.materials])

    def landfilled(self) -> Array:
        """What one kilogram of each of the 16 quantities counts for here, shape (16,)."""
        share = self.settings.landfilled_share
        to_landfill = [share, share] + [0.0 if self.settings.yard_banned else share] * 2
        ones = [1.0] * AMOUNTS
        return np.array([*ones, *to_landfill, *to_landfill, *ones])


def gas_collection(settings: JurisdictionSettings, factors: FactorSet) -> GasCollection:
    """The gas collection of a jurisdiction: its own table or a preset, its own oxidation or the factor set's.

    Raises
    ------
    UnknownFactor, OutOfRange, PhasesOutOfOrder
    """
    rows = settings.collection
    if isinstance(rows, str):
        rows = factors.collection_preset(rows).phases
    oxidation = factors.oxidation.value if settings.oxidation is None else settings.oxidation
    return GasCollection(
        phases=tuple(CollectionPhase(from_age=lo, to_age=hi, efficiency=caught) for lo, hi, caught in rows),
        oxidation=oxidation,
        delay_years=factors.delay_years.value,
    )


def densities(inputs: AccountInputs) -> tuple[float, float, float, float]:
    """Kilograms per unit of the four amounts: litres by the ratio of weigh-ins or else by density, weights by 1."""
    food, trimmings = inputs.food_weighed, inputs.yard_weighed
    return (
        food.kg_per_litre if food else inputs.factors.food_density.value,
        1.0,
        trimmings.kg_per_litre if trimmings else inputs.factors.yard_density.value,
        1.0,
    )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FigureWeights:
    """F figures by P parts by 16 quantities: what a household-week at a weekly rate of 1 adds to the figure.

    Parameters
    ----------
    names : tuple of FigureName, length F
    weights : array, shape (F, P, 16)
        Tonnes of each measure and stream come first.
    """

    names: tuple[FigureName, ...]
    weights: Array


def figure_weights(
    *,
    sites: Sequence[Site],
    kg_per_unit: Sequence[float],
    process_co2e: float,
    warming: Warming,
    years: Sequence[int],
    quarter: Quarter,
) -> FigureWeights:
    """The weights of all figures of one quarter.

    Parameters
    ----------
    sites : sequence of Site, length P
        Of each part.
    kg_per_unit : sequence of float, length 4
    process_co2e : float
        Warming of composting one tonne. [kg CO2e/t]
    warming : Warming
    years : sequence of int
        Of the calendar-year view.
    quarter : Quarter
    """
    tonnes = _tonnes(sites, kg_per_unit)
    bound = tonnes[MEASURES.index(Measure.LANDFILL_BOUND)]
    lifetime = bound * _by_quantity([site.methane() for site in sites])
    stored = bound * _by_quantity([site.stored_carbon() for site in sites]) / KG_PER_TONNE
    gross, before = (tonnes[MEASURES.index(m)] for m in (Measure.GROSS, Measure.COMPOSTED_BEFORE))
    process = (gross - before) * process_co2e / KG_PER_TONNE
    kinds = [
        *((str(measure), TONNES, False, tonnes[number]) for number, measure in enumerate(MEASURES)),
        ("methane_lifetime", KG_METHANE, False, lifetime),
        *(
            (
                f"methane_{year}",
                KG_METHANE,
                False,
                bound * _by_quantity([s.methane_in(year, buried=quarter) for s in sites]),
            )
            for year in years
        ),
        ("process", TONNES_CO2E, True, process),
        ("net", TONNES_CO2E, True, lifetime * warming.ch4 / KG_PER_TONNE - process),
        ("stored_carbon", TONNES_CO2, False, stored),
    ]
    names = [
        FigureName(name=name, stream=stream, unit=unit, signed=signed)
        for name, unit, signed, _ in kinds
        for stream in STREAMS
    ]
    return FigureWeights(names=tuple(names), weights=np.concatenate([weights for *_, weights in kinds]))


def _tonnes(sites: Sequence[Site], kg_per_unit: Sequence[float]) -> Array:
    """Tonnes of each measure, stream, part and quantity: shape (4, 3, P, 16)."""
    in_stream = np.array([MATERIAL_OF_AMOUNT == 0, MATERIAL_OF_AMOUNT == 1, MATERIAL_OF_AMOUNT >= 0])
    of_measure = np.eye(len(MEASURES))
    landfilled = np.array([site.landfilled() for site in sites])
    mask = of_measure[:, None, :, None] * (in_stream * np.array(kg_per_unit))[None, :, None, :]
    flat = mask.reshape(len(MEASURES), len(STREAMS), 1, -1)
    return np.asarray(flat * landfilled / KG_PER_TONNE)


def _by_quantity(per_site: Sequence[Array]) -> Array:
    """Values by part and material spread over the 16 quantities: (P, 2) to (P, 16)."""
    return np.tile(np.array(per_site)[:, MATERIAL_OF_AMOUNT], len(MEASURES))
