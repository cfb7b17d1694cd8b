"""A dated, immutable set of factors with named access to each."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from diversion.conversions import MONTHS_PER_YEAR
from diversion.errors import DiversionError
from diversion.factors.choices import Horizon, Precipitation, Report
from diversion.factors.published import BadFactor, PublishedFactor, Status
from diversion.materials import Material


class UnknownFactor(DiversionError):
    """The factor set holds no factor of that name."""

    def __init__(self, *, key: str, factor_set: str) -> None:
        self.key, self.factor_set = key, factor_set
        super().__init__(f"Factor set {factor_set} has no {key!r}. Use a later factor set that has it.")


@dataclass(frozen=True, slots=True, kw_only=True)
class CollectionPreset:
    """A ready-made table of landfill gas collection by age of waste, for those without one of their own.

    `phases` are (from age, to age, share of the gas caught), ages in years, end `inf` allowed.
    """

    name: str
    meaning: str
    phases: tuple[tuple[float, float, float], ...]
    status: Status
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FactorSet:
    """Every published and assumed number of one release.

    Parameters
    ----------
    name : str
        Such as '2026-1'.
    released_on : datetime.date
        From this day the table is unchangeable.
    digest : str
        sha256 of the table, hexadecimal; goes into every filing.
    factors : tuple of PublishedFactor
    collection : tuple of CollectionPreset
    by_key : mapping of str to PublishedFactor
        The factors by their key, in the order of the table; made here.

    Raises
    ------
    BadFactor
        If two factors share a key.
    """

    name: str
    released_on: date
    digest: str
    factors: tuple[PublishedFactor, ...]
    collection: tuple[CollectionPreset, ...]
    by_key: Mapping[str, PublishedFactor] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        by_key: dict[str, PublishedFactor] = {}
        for factor in self.factors:
            if factor.key in by_key:
                raise BadFactor(key=factor.key, reason="stands in the table twice")
            by_key[factor.key] = factor
        object.__setattr__(self, "by_key", by_key)

    def __getitem__(self, key: str) -> PublishedFactor:
        """The factor of that key; raises `UnknownFactor`."""
        try:
            return self.by_key[key]
        except KeyError:
            raise UnknownFactor(key=key, factor_set=self.name) from None

    def __hash__(self) -> int:
        return hash(self.digest)

    def density(self, material: Material) -> PublishedFactor:
        """Density of the material as households put it in their container. [kg/L]"""
        return self[f"density.{material}"]

    @property
    def food_density(self) -> PublishedFactor:
        """Density of food scraps. [kg/L]"""
        return self.density(Material.FOOD)

    @property
    def yard_density(self) -> PublishedFactor:
        """Density of yard trimmings, loose. [kg/L]"""
        return self.density(Material.YARD)

    def doc(self, material: Material) -> PublishedFactor:
        """Degradable organic carbon, share of the wet mass."""
        return self[f"doc.{material}"]

    def k(self, material: Material, precipitation: Precipitation) -> PublishedFactor:
        """First-order decay rate in a landfill. [1/year]"""
        return self[f"k.{material}.{precipitation}"]

    @property
    def docf(self) -> PublishedFactor:
        """Share of the degradable carbon that does decay."""
        return self["docf"]

    @property
    def docf_food_scenario(self) -> PublishedFactor:
        """The same for food alone under the later guidelines: a scenario, never drawn."""
        return self["docf.food-scenario"]

    @property
    def mcf(self) -> PublishedFactor:
        """Methane correction factor of a managed, anaerobic landfill."""
        return self["mcf"]

    @property
    def methane_fraction(self) -> PublishedFactor:
        """Share of methane in landfill gas, by volume (F)."""
        return self["methane-fraction"]

    @property
    def oxidation(self) -> PublishedFactor:
        """Share of escaping methane that the cover oxidises."""
        return self["oxidation"]

    @property
    def delay_years(self) -> PublishedFactor:
        """Time from burial to the start of methane. [years]"""
        return self["delay"]

    @property
    def process_ch4(self) -> PublishedFactor:
        """Methane of composting itself. [kg per tonne of wet input]"""
        return self["process.ch4"]

    @property
    def process_n2o(self) -> PublishedFactor:
        """Nitrous oxide of composting itself. [kg per tonne of wet input]"""
        return self["process.n2o"]

    @property
    def process_n2o_as_printed(self) -> PublishedFactor:
        """The uncorrected figure that the guidelines first printed; selectable. [kg per tonne]"""
        return self["process.n2o.as-printed"]

    def gwp_ch4(self, report: Report, horizon: Horizon) -> PublishedFactor:
        """Warming potential of methane from biogenic waste. [kg CO2e/kg]"""
        return self[f"gwp.{report}.{int(horizon)}.ch4"]

    def gwp_n2o(self, report: Report, horizon: Horizon) -> PublishedFactor:
        """Warming potential of nitrous oxide. [kg CO2e/kg]"""
        return self[f"gwp.{report}.{int(horizon)}.n2o"]

    @property
    def yard_index_by_month(self) -> tuple[float, ...]:
        """Yard trimmings of each month relative to the yearly mean, January first, length 12."""
        return tuple(self[f"season.yard.{month:02d}"].value for month in range(1, MONTHS_PER_YEAR + 1))

    def collection_preset(self, name: str) -> CollectionPreset:
        """The preset of that name ('none', 'typical'); raises `UnknownFactor`."""
        for preset in self.collection:
            if preset.name == name:
                return preset
        raise UnknownFactor(key=f"collection {name}", factor_set=self.name)

    def as_table(self) -> tuple[tuple[str, ...], ...]:
        """Rows of text for a document, heading first.

        Returns
        -------
        tuple of tuple of str
            Columns: key, what, value, range, unit, source, where, year, checked, note.
        """
        heading = ("key", "what", "value", "range", "unit", "source", "where", "year", "checked", "note")
        return (heading, *(_row(factor) for factor in self.factors))


def _row(factor: PublishedFactor) -> tuple[str, ...]:
    span = f"{factor.low:g} to {factor.high:g}" if factor.has_range else ""
    checked = str(factor.status)
    if factor.has_range and factor.range_status != factor.status:
        checked = f"{factor.status}; range {factor.range_status}"
    return (
        factor.key,
        factor.meaning,
        f"{factor.value:g}",
        span,
        factor.unit,
        factor.source,
        factor.locator,
        str(factor.year),
        checked,
        factor.note,
    )
