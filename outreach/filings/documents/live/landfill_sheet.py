"""Methane of one tonne in each jurisdiction's landfill over its lifetime, from decay, gas collection and cover."""

from openpyxl import Workbook

from diversion.landfill import DecayingMaterial, GasCollection
from diversion.settings import LIFETIME_YEARS
from outreach.filings.documents.live.frozen import Frozen
from outreach.filings.documents.live.grid import Formula, Grid

COLUMNS = (
    "place", "material", "landfilled", "doc", "docf", "mcf", "fraction", "k", "oxidation", "delay", "phases",
    "methane",
)  # fmt: skip
HEADINGS = (
    "Jurisdiction", "Material", "Share of its trash that is landfilled", "DOC", "DOCf", "MCF",
    "Methane in the gas, F", "k per year", "Oxidised in the cover", "Delay, years",
    "Escaping share of what forms", "Methane, kg per tonne",
)  # fmt: skip
PHASE = (
    "IF(MIN({years},{end})>MAX({start},{delay}),"
    "(1-{caught})*(EXP(-{k}*(MAX({start},{delay})-{delay}))-EXP(-{k}*(MIN({years},{end})-{delay}))),0)"
)
POTENTIAL = "={phases}*(1-{oxidation})*kg_per_tonne*{doc}*{docf}*{mcf}*{fraction}*16/12"
# A spreadsheet knows no infinity; no phase is looked at beyond the lifetime.
NO_END = 1_000_000


def write_landfills(book: Workbook, frozen: Frozen) -> None:
    """A row a jurisdiction and material, named `landfilled_food`, `methane_food` and so on, in their order."""
    grid = Grid(book, "Landfill", COLUMNS, shown_as="0.0000")
    grid.put("Phases of gas collection by age of waste in years; the share caught may be changed.")
    phases = {code: _phases(grid, code, frozen.basis.sites[code].gas) for code in frozen.jurisdictions}
    grid.put()
    grid.head(*HEADINGS)
    for number, material in enumerate(("food", "yard")):
        first = grid.row + 1
        for code in frozen.jurisdictions:
            site = frozen.basis.sites[code]
            banned = material == "yard" and site.settings.yard_banned
            landfilled = 0.0 if banned else site.settings.landfilled_share
            _landfill(grid, (code, material, landfilled), site.materials[number], site.gas, phases[code])
        grid.name(f"landfilled_{material}", "landfilled", first, grid.row)
        grid.name(f"methane_{material}", "methane", first, grid.row)


def _phases(grid: Grid, code: str, gas: GasCollection) -> list[int]:
    grid.head(f"Gas collection, {code}", "from age", "to age", "share caught")
    return [
        grid.put("", phase.from_age, min(phase.to_age, NO_END), phase.efficiency) for phase in gas.covering
    ]


def _landfill(
    grid: Grid,
    first: tuple[str, str, float],
    material: DecayingMaterial,
    gas: GasCollection,
    phases: list[int],
) -> None:
    escaping = "+".join(
        PHASE.format(start=f"B{row}", end=f"C{row}", caught=f"D{row}", years=LIFETIME_YEARS, k="{k}", delay="{delay}")
        for row in phases
    )  # fmt: skip
    values = (material.doc, material.docf, material.mcf, material.methane_fraction, material.k)
    grid.put(
        *first,
        *values,
        gas.oxidation,
        gas.delay_years,
        grid.formula("=" + escaping),
        Formula(grid.formula(POTENTIAL)),
    )
