"""What the draws are made from: estimated totals with their covariance, sites, and the choices of the filing."""

from dataclasses import dataclass
from functools import cache
from typing import TypeAlias

import numpy as np

from diversion.conversion_draws import Conversion
from diversion.drawing import Array
from diversion.errors import DiversionError, require_within
from diversion.factors import FactorSet, Precipitation
from diversion.figures import Measure
from diversion.landfill import GasCollection
from diversion.materials import Material
from diversion.settings import NEGLIGIBLE_SPREAD
from diversion.warming import Warming

MEASURES = tuple(Measure)
MATERIALS = (Material.FOOD, Material.YARD)
VOLUME, WEIGHT = 0, 1
UNITS = (VOLUME, WEIGHT)
Place: TypeAlias = tuple[int, Measure, Material, int]  # site, measure, material, volume or weight


class BadDraws(DiversionError):
    """The totals to be drawn do not fit together, or cannot be right."""

    def __init__(self, reason: str) -> None:
        self.reason = reason
        super().__init__(reason)


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnSite:
    """A landfill to which the trash of a jurisdiction would have gone."""

    code: str
    precipitation: Precipitation
    gas: GasCollection


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class DrawnTotals:
    """Estimated totals of a period by site, and how they vary together.

    Quantities come measure by measure (gross, landfill-bound, additional, composted before), each as food by volume,
    food by weight, yard trimmings by volume, by weight. Landfill-bound is after the landfilled share.

    Parameters
    ----------
    totals : array, shape (P, 16)
        Litres for volumes, kilograms for weights, at least 0.
    covariance : array, shape (16 P, 16 P)
        Of the totals in that order.
    degrees_of_freedom : array, shape (P, 16)
        At least 1; infinite where a total is known.
    gaps_months : array, shape (P, 16)
        Mean months that an amount was aged by.

    Raises
    ------
    BadDraws
        If shapes differ, or a total is negative or not a number.
    """

    totals: Array
    covariance: Array
    degrees_of_freedom: Array
    gaps_months: Array

    def __post_init__(self) -> None:
        shape = (len(self.totals), len(places_of(1)))
        if not self.totals.shape == self.degrees_of_freedom.shape == self.gaps_months.shape == shape:
            raise BadDraws("Totals, degrees of freedom and gaps must be sites by 16. Gather them again.")
        if self.covariance.shape != (self.totals.size, self.totals.size):
            raise BadDraws("The covariance must have a row and a column for every total. Gather it again.")
        if not (np.isfinite(self.totals).all() and np.isfinite(self.covariance).all()):
            raise BadDraws("A total or a covariance is not a number. Look for a stratum with absurd answers.")
        if (self.totals < 0).any():
            raise BadDraws("A total is negative. Look for negative amounts among the answers.")

    @property
    def places(self) -> tuple[Place, ...]:
        """What each total is, in the order of the covariance."""
        return places_of(len(self.totals))

    @property
    def above(self) -> tuple[int, ...]:
        """Where the totals above 0 are, in the order of the covariance; rounding of the largest counts as 0."""
        flat = self.totals.ravel()
        return tuple(np.flatnonzero(flat > NEGLIGIBLE_SPREAD * flat.max(initial=0.0)).tolist())


@cache
def places_of(sites: int) -> tuple[Place, ...]:
    """What each of 16 totals of so many sites is."""
    return tuple(
        (site, measure, material, unit)
        for site in range(sites)
        for measure in MEASURES
        for material in MATERIALS
        for unit in UNITS
    )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class DrawInputs:
    """Everything that the draws of a period depend on, but for the seed.

    Parameters
    ----------
    totals : DrawnTotals
    sites : tuple of DrawnSite, length P
    food_conversion, yard_conversion : PublishedFactor or Calibration
        Kilograms per reported litre.
    food_docf, yard_docf : float
        Share of degradable carbon that decays: the scenario, not drawn.
    warming : Warming
    factors : FactorSet
    n2o_as_printed : bool
    quitting_rate, quitting_rate_error : float
        Fitted or assumed rate and its standard error. [1/month]
    season_log_error : float
        Of the season of yard trimmings, log scale; 0 where it was not needed.
    browns_tonnes : float
        [t]

    Raises
    ------
    BadDraws, OutOfRange
    """

    totals: DrawnTotals
    sites: tuple[DrawnSite, ...]
    food_conversion: Conversion
    yard_conversion: Conversion
    food_docf: float
    yard_docf: float
    warming: Warming
    factors: FactorSet
    n2o_as_printed: bool = False
    quitting_rate: float = 0.0
    quitting_rate_error: float = 0.0
    season_log_error: float = 0.0
    browns_tonnes: float = 0.0

    def __post_init__(self) -> None:
        if len(self.sites) != len(self.totals.totals):
            raise BadDraws("There must be one landfill for each row of totals. Give every site its settings.")
        require_within("food_docf", self.food_docf, 0, 1)
        require_within("yard_docf", self.yard_docf, 0, 1)
        require_within("quitting_rate, 1/month", self.quitting_rate, 0)
        require_within("quitting_rate_error, 1/month", self.quitting_rate_error, 0)
        require_within("season_log_error", self.season_log_error, 0)
        require_within("browns_tonnes", self.browns_tonnes, 0)

    def conversion(self, material: Material) -> Conversion:
        """Kilograms per reported litre of the material."""
        return self.food_conversion if material is Material.FOOD else self.yard_conversion

    def docf(self, material: Material) -> float:
        """Share of the material's degradable carbon that decays."""
        return self.food_docf if material is Material.FOOD else self.yard_docf
