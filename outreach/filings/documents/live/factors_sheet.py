"""What the formulas take from outside the answers: each with a name, so that a change moves everything."""

from openpyxl import Workbook

from diversion.conversions import KG_PER_SHORT_TON, KG_PER_TONNE
from diversion.settings import FEWEST_ANSWERS
from outreach.filings.documents.live.frozen import Frozen
from outreach.filings.documents.live.grid import Grid
from outreach.filings.documents.live.weighed_sheet import density_of


def write_factors(book: Workbook, frozen: Frozen) -> Grid:
    """Every number that is not an answer, by name."""
    grid = Grid(book, "Factors", ["what", "value", "name", "unit", "source"], wide=1)
    grid.put("Change a value here and every figure of this workbook follows.")
    grid.head("What", "Value", "Name in formulas", "Unit", "Where it is from")
    for what, value, name, unit, source in _rows(frozen):
        row = grid.put(what, value, name, unit, source)
        grid.name(name, "value", row)
    _yard_index(grid, frozen)
    return grid


def _rows(frozen: Frozen) -> list[tuple[str, float | str, str, str, str]]:
    basis, method, factors = frozen.basis, frozen.inputs.settings, frozen.inputs.factors
    (food, food_source), (yard, yard_source) = (density_of(frozen, one) for one in ("food", "yard"))
    n2o = factors.process_n2o_as_printed if method.n2o_as_printed else factors.process_n2o
    return [
        ("Food scraps", food, "food_density", "kg per litre", food_source),
        ("Yard trimmings", yard, "yard_density", "kg per litre", yard_source),
        ("Browns", factors["density.browns"].value, "browns_density", "kg per litre",
         factors["density.browns"].source),
        ("Quitting rate", basis.assumptions.quitting.per_month, "quitting_rate", "per month",
         "answers to 'still composting?', or assumed; see Working of the filing"),
        ("Quarter filed", frozen.rates.cells.quarter.quarter, "filed_quarter", "1 to 4", "the filing"),
        ("How yard trimmings are told by season", frozen.rates.season, "yard_rule", "quarter, index or none",
         "the filing: 'quarter' takes only answers about the quarter itself"),
        ("Answerers' odds of still composting over those of the silent", method.odds, "headline_odds", "ratio",
         "setting of the filing"),
        ("Answers that a pool needs", FEWEST_ANSWERS, "fewest_answers", "answers", "method"),
        ("Count what was entered or voided since the filing (1 yes)", 0, "count_since", "0 or 1",
         "your choice: 0 counts as filed, 1 as the records stand today"),
        ("Warming of methane", basis.warming.ch4, "gwp_ch4", "kg CO2e per kg", str(method.report)),
        ("Warming of nitrous oxide", basis.warming.n2o, "gwp_n2o", "kg CO2e per kg", str(method.report)),
        ("Methane of composting", basis.process.ch4_kg_per_tonne, "process_ch4", "kg per tonne",
         factors.process_ch4.source),
        ("Nitrous oxide of composting", basis.process.n2o_kg_per_tonne, "process_n2o", "kg per tonne",
         n2o.source),
        ("Kilograms in a tonne", KG_PER_TONNE, "kg_per_tonne", "kg", "definition"),
        ("Kilograms in a short ton", KG_PER_SHORT_TON, "kg_per_short_ton", "kg", "definition: 2000 lb"),
    ]  # fmt: skip


def _yard_index(grid: Grid, frozen: Frozen) -> None:
    index = frozen.basis.assumptions.index
    first = grid.row + 1
    for quarter in range(1, 5):
        value = index.by_quarter[quarter - 1] if index else 1.0
        grid.put(f"Yard trimmings, quarter {quarter}", value, "yard_index", "of the mean quarter", "assumed")
    grid.name("yard_index", "value", first, grid.row)
