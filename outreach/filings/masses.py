"""Tonnes as a jurisdiction's filings print them: tonnes of 1000 kg or short tons of 2000 lb, always named."""

from dataclasses import dataclass

from diversion.conversions import KG_PER_SHORT_TON, KG_PER_TONNE
from diversion.rounding import printed
from outreach.filings.report import Number
from outreach.places.models import Jurisdiction

POUNDS_PER_SHORT_TON = 2000
TONNES_PER_SHORT_TON = KG_PER_SHORT_TON / KG_PER_TONNE


@dataclass(frozen=True, slots=True, kw_only=True)
class MassUnit:
    """The unit in which a filing prints masses."""

    name: str
    sign: str
    tonnes_each: float
    # Of what one household puts in a week.
    small_sign: str
    kg_each_small: float

    @property
    def heading(self) -> str:
        """The name as a heading begins with it."""
        return self.name[:1].upper() + self.name[1:]

    def small_of(self, kg: float | None) -> Number:
        """Kilograms in the small unit."""
        return number(None if kg is None else kg / self.kg_each_small)

    def of(self, tonnes: float | None) -> Number:
        value = None if tonnes is None else tonnes / self.tonnes_each
        return Number(value=value, printed=printed(value))

    def range_of(self, lower: float | None, upper: float | None) -> str:
        if lower is None or upper is None:
            return "no interval"
        return f"{self.of(lower).printed} to {self.of(upper).printed}"


TONNE = MassUnit(name="tonnes", sign="t", tonnes_each=1, small_sign="kg", kg_each_small=1)
SHORT_TON = MassUnit(
    name="short tons",
    sign="short tons",
    tonnes_each=TONNES_PER_SHORT_TON,
    small_sign="lb",
    kg_each_small=KG_PER_SHORT_TON / POUNDS_PER_SHORT_TON,
)


def mass_unit_of(jurisdictions: list[Jurisdiction]) -> MassUnit:
    """Short tons where every jurisdiction of the filing uses them, else tonnes."""
    wanted = {one.mass_unit for one in jurisdictions}
    return SHORT_TON if wanted == {Jurisdiction.MassUnit.SHORT_TON} else TONNE


def number(value: float | int | None) -> Number:
    """A number that is no mass, printed by the same policy."""
    return Number(value=value, printed=printed(value))
