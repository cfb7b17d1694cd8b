"""Methane that a tonne would have made in a landfill: first-order decay with gas collection by age of waste.

Ages are counted from burial, in years. The closed form serves filings; `landfill_years` has the two
published yearly forms that it is checked against. What burning, recycling or a green cart would have done
is not in here.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise

from diversion.conversions import KG_PER_TONNE, METHANE_PER_CARBON, QUARTERS_PER_YEAR
from diversion.errors import DiversionError, require_within
from diversion.factors import FactorSet, Precipitation
from diversion.materials import Material
from diversion.settings import LIFETIME_YEARS


class PhasesOutOfOrder(DiversionError):
    """Two phases of gas collection overlap, or one ends before it starts."""

    def __init__(self, *, from_age: float, to_age: float) -> None:
        self.from_age, self.to_age = from_age, to_age
        super().__init__(
            f"Gas collection from age {from_age:g} to {to_age:g} years overlaps another phase or is empty. "
            f"List the phases by age, each starting where the one before ended or later."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class CollectionPhase:
    """The share of gas that is caught while waste is between two ages.

    Parameters
    ----------
    from_age, to_age : float
        Years since burial, 0 <= from_age < to_age; `to_age` may be infinite.
    efficiency : float
        Share caught, 0 to 1.
    """

    from_age: float
    to_age: float
    efficiency: float

    def __post_init__(self) -> None:
        require_within("from_age, years", self.from_age, 0)
        require_within("efficiency, share of gas caught", self.efficiency, 0, 1)
        if not self.from_age < self.to_age:
            raise PhasesOutOfOrder(from_age=self.from_age, to_age=self.to_age)


@dataclass(frozen=True, slots=True, kw_only=True)
class GasCollection:
    """How the gas of one landfill is caught, by age of waste, and what its cover oxidises of the rest.

    Parameters
    ----------
    phases : tuple of CollectionPhase
        By age and not overlapping. Ages that no phase covers catch nothing.
    oxidation : float
        Share of the escaping methane that the cover oxidises, 0 to 1.
    delay_years : float
        Time from burial to the start of methane (δ). [years]
    covering : tuple of CollectionPhase
        The same with the gaps filled in, from age 0 to infinity; made here.

    Raises
    ------
    PhasesOutOfOrder, OutOfRange
    """

    phases: tuple[CollectionPhase, ...]
    oxidation: float
    delay_years: float
    covering: tuple[CollectionPhase, ...] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        require_within("oxidation, share of escaping methane", self.oxidation, 0, 1)
        require_within("delay_years", self.delay_years, 0)
        for before, after in pairwise(self.phases):
            if after.from_age < before.to_age:
                raise PhasesOutOfOrder(from_age=after.from_age, to_age=after.to_age)
        object.__setattr__(self, "covering", _filled(self.phases))

    @classmethod
    def preset(cls, name: str, *, factors: FactorSet) -> "GasCollection":
        """The factor set's ready-made 'none' or 'typical' collection, with its oxidation and delay.

        Raises
        ------
        UnknownFactor
            If the set has no preset of that name.
        """
        phases = factors.collection_preset(name).phases
        return cls(
            phases=tuple(
                CollectionPhase(from_age=lo, to_age=hi, efficiency=caught) for lo, hi, caught in phases
            ),
            oxidation=factors.oxidation.value,
            delay_years=factors.delay_years.value,
        )


def _filled(phases: tuple[CollectionPhase, ...]) -> tuple[CollectionPhase, ...]:
    filled: list[CollectionPhase] = []
    age = 0.0
    for phase in phases:
        if age < phase.from_age:
            filled.append(CollectionPhase(from_age=age, to_age=phase.from_age, efficiency=0))
        filled.append(phase)
        age = phase.to_age
    if age < math.inf:
        filled.append(CollectionPhase(from_age=age, to_age=math.inf, efficiency=0))
    return tuple(filled)


@dataclass(frozen=True, slots=True, kw_only=True)
class DecayingMaterial:
    """One material as a landfill sees it.

    Parameters
    ----------
    doc : float
        Degradable organic carbon, share of wet mass, 0 to 1.
    docf : float
        Share of it that decays, 0 to 1.
    mcf : float
        Methane correction factor, 0 to 1.
    methane_fraction : float
        Share of methane in the gas (F), 0 to 1.
    k : float
        First-order decay rate, above 0. [1/year]
    """

    doc: float
    docf: float
    mcf: float
    methane_fraction: float
    k: float

    def __post_init__(self) -> None:
        for name in ("doc", "docf", "mcf", "methane_fraction"):
            require_within(name, getattr(self, name), 0, 1)
        require_within("k, 1/year", self.k, math.ulp(0.0))

    @classmethod
    def of(
        cls, material: Material, *, factors: FactorSet, precipitation: Precipitation
    ) -> "DecayingMaterial":
        """The material at the central values of a factor set, on a site of that precipitation class.

        Raises
        ------
        UnknownFactor
            For a material that is not sent to landfill in any scenario, such as browns.
        """
        return cls(
            doc=factors.doc(material).value,
            docf=factors.docf.value,
            mcf=factors.mcf.value,
            methane_fraction=factors.methane_fraction.value,
            k=factors.k(material, precipitation).value,
        )

    def with_docf(self, docf: float) -> "DecayingMaterial":
        """The same material under another DOCf: a scenario."""
        return replace(self, docf=docf)

    @property
    def potential_kg_per_tonne(self) -> float:
        """All methane that ever forms, before collection and oxidation (L0). [kg CH4/t wet]

        Source
        ------
        IPCC 2006 Guidelines, Vol. 5, Ch. 3, eq. 3.2 and 3.3.
        """
        carbon = KG_PER_TONNE * self.doc * self.docf * self.mcf
        return carbon * self.methane_fraction * METHANE_PER_CARBON


def methane_kg_per_tonne(
    material: DecayingMaterial, gas: GasCollection, *, from_age: float = 0, to_age: float = LIFETIME_YEARS
) -> float:
    """Methane that escapes from one buried tonne between two ages.

    Parameters
    ----------
    material : DecayingMaterial
    gas : GasCollection
    from_age, to_age : float
        Years since burial; ages below 0 are before burial and give nothing.

    Returns
    -------
    float
        [kg CH4 per tonne of wet waste]

    Source
    ------
    First-order decay of IPCC 2006 Guidelines, Vol. 5, Ch. 3, integrated in closed form over phases of
    collection.
    """
    delay, k = gas.delay_years, material.k
    escaping = 0.0
    for phase in gas.covering:
        lo, hi = max(from_age, phase.from_age, delay), min(to_age, phase.to_age)
        if hi > lo:
            decayed = math.exp(-k * (lo - delay)) - math.exp(-k * (hi - delay))
            escaping += (1 - phase.efficiency) * decayed
    return material.potential_kg_per_tonne * (1 - gas.oxidation) * escaping


def lifetime_kg_per_tonne(material: DecayingMaterial, gas: GasCollection) -> float:
    """Methane that escapes from one tonne in its first hundred years. [kg CH4 per tonne of wet waste]

    This view books all of it in the period in which the tonne was kept out. Never add it to a calendar-year
    view.
    """
    return methane_kg_per_tonne(material, gas)


@dataclass(frozen=True, slots=True, kw_only=True)
class QuarterOfDiversion:
    """Tonnes that one calendar quarter kept out of a landfill.

    Parameters
    ----------
    year : int
    quarter : int
        1 to 4.
    tonnes : float
        Wet mass, at least 0. [t]
    """

    year: int
    quarter: int
    tonnes: float

    def __post_init__(self) -> None:
        require_within("quarter", self.quarter, 1, QUARTERS_PER_YEAR)
        require_within("tonnes", self.tonnes, 0)

    @property
    def middle(self) -> float:
        """The middle of the quarter as a fractional year: all its tonnes count as buried then."""
        return self.year + (self.quarter - 1 / 2) / QUARTERS_PER_YEAR


def methane_by_calendar_year(
    quarters: Sequence[QuarterOfDiversion],
    material: DecayingMaterial,
    gas: GasCollection,
    *,
    first_year: int,
    last_year: int,
) -> dict[int, float]:
    """Methane avoided in each calendar year by the diversion of many quarters.

    Parameters
    ----------
    quarters : sequence of QuarterOfDiversion
        In any order, any number.
    material, gas
        As for `methane_kg_per_tonne`.
    first_year, last_year : int
        Both included.

    Returns
    -------
    dict of int to float
        Year to kg CH4. Over more and more years the sum nears the lifetime view.
    """
    by_year = {}
    for year in range(first_year, last_year + 1):
        by_year[year] = math.fsum(
            quarter.tonnes
            * methane_kg_per_tonne(
                material, gas, from_age=year - quarter.middle, to_age=year + 1 - quarter.middle
            )
            for quarter in quarters
        )
    return by_year
