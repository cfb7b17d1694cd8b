"""Rates of each stratum, its exposure by jurisdiction, and the tonnes that they make."""

from collections import defaultdict
from collections.abc import Iterable

from openpyxl import Workbook

from diversion.conversions import DAYS_PER_WEEK
from diversion.strata import CellCount
from outreach.filings.documents.live.frozen import Frozen
from outreach.filings.documents.live.grid import Formula, Grid
from outreach.filings.sections.parts import BANDS

MEASURES = {
    "gross": ("Gross", "w"),
    "landfill_bound": ("From trash", "trash_w"),
    "additional": ("From trash, new to composting", "new_w"),
    "composted_before": ("Composted before", "composted_w"),
}
MATERIALS = ("food", "yard")
TO_LANDFILL = ("landfill_bound", "additional")
RATES = tuple(f"{measure}_{material}" for measure in MEASURES for material in MATERIALS)
WHOSE = ("all", "answered")
STRATA_HEADINGS = (
    "Stratum",
    "Of whom",
    "Answers",
    "Still composting",
    "Household-weeks of the answers",
    "Household-weeks of all",
    "Households with a bin",
    *(f"{words}, {material}, kg a week" for words, _column in MEASURES.values() for material in MATERIALS),
)
COUNTED = (("ROWS", "line"), ("SUM", "still"), ("SUM", "weeks"))
TONNES_HEADINGS = (
    "Jurisdiction",
    "Stratum",
    "Jurisdiction, number",
    "Household-weeks of all",
    "Household-weeks of the answers",
)


def write_strata(book: Workbook, frozen: Frozen, answers: Grid, rows: dict[int, tuple[int, int]]) -> None:
    """A row a stratum: answers, weeks, and kilograms a household-week."""
    grid = Grid(
        book,
        "Strata",
        ["stratum", "words", "answers", "still", "weeks", "exposed", "households", *RATES],
        wide=2,
        shown_as="#,##0.0000",
    )
    grid.put("Each stratum's answers give its rate: kilograms over household-weeks.")
    grid.head(*STRATA_HEADINGS)
    first = grid.row + 1
    exposed = frozen.rates.exposed.sum(axis=1).tolist()
    for number, group in enumerate(frozen.groups, start=1):
        span = {key: answers.span(key, *rows[number]) for key in answers.letters}
        rates = [
            grid.formula("=SUM({over})/{weeks}", over=span[f"{material}_{column}"])
            for _words, column in MEASURES.values()
            for material in MATERIALS
        ]
        known = (*_counted(span), exposed[number - 1], group.households)
        grid.put(number, _words(group.cells), *known, *rates)
    for key in ("answers", "still", "exposed", "households", *RATES):
        grid.name(f"stratum_{key}", key, first, grid.row)
    row = grid.put(
        "All",
        "Share still composting, weighted by household-weeks",
        Formula("=SUM(stratum_answers)"),
        Formula("=SUMPRODUCT(stratum_exposed,stratum_still/stratum_answers)/SUM(stratum_exposed)"),
    )
    grid.name("still_composting", "still", row)


def _counted(span: dict[str, str]) -> list[Formula]:
    """Answers, those still composting, and household-weeks of one stratum."""
    return [Formula(f"={function}({span[key]})") for function, key in COUNTED]


def _words(cells: Iterable[CellCount]) -> str:
    return "; ".join(f"{cell.key.jurisdiction}, {cell.key.family}, {BANDS[cell.key.band]}" for cell in cells)


def write_tonnes(book: Workbook, frozen: Frozen, answers: Grid, rows: dict[int, tuple[int, int]]) -> None:
    """A row a stratum and jurisdiction: its household-weeks times the rate, less what is not landfilled there."""
    tonnes = [f"{rate}_{whose}" for rate in RATES for whose in WHOSE]
    methane = [f"methane_{material}_{whose}" for material in MATERIALS for whose in WHOSE]
    grid = Grid(
        book,
        "Tonnes",
        ["place", "stratum", "number", "all", "answered", *tonnes, *methane],
        shown_as="#,##0.0000",
    )
    grid.put(
        "Tonnes of each stratum in each jurisdiction, of all households and of those who answered alone."
    )
    grid.head(*TONNES_HEADINGS, *(_heading(name) for name in (*tonnes, *methane)))
    first = grid.row + 1
    for (number, place), weeks in sorted(_exposed(frozen).items()):
        span = {key: answers.span(key, *rows[number]) for key in ("days", "jurisdiction")}
        grid.put(
            frozen.jurisdictions[place - 1],
            number,
            place,
            weeks,
            grid.formula(
                "=SUMIFS({days},{jurisdiction},{at})/7", **{**span, "at": f"{grid.letters['place']}{grid.row + 1}"}
            ),
            *(grid.formula(_tonnes(rate, whose)) for rate in RATES for whose in WHOSE),
            *(grid.formula(_methane(material, whose)) for material in MATERIALS for whose in WHOSE),
        )  # fmt: skip
    for key in (*tonnes, *methane):
        grid.name(f"t_{key}", key, first, grid.row)


def _heading(name: str) -> str:
    return name.replace("_", " ").capitalize() + (", kg CH4" if name.startswith("methane") else ", t")


def _tonnes(rate: str, whose: str) -> str:
    formula = f"={{{whose}}}*INDEX(stratum_{rate},{{stratum}})/kg_per_tonne"
    measure, material = rate.rsplit("_", 1)
    return formula + (f"*INDEX(landfilled_{material},{{number}})" if measure in TO_LANDFILL else "")


def _methane(material: str, whose: str) -> str:
    return f"={{landfill_bound_{material}_{whose}}}*INDEX(methane_{material},{{number}})"


def _exposed(frozen: Frozen) -> dict[tuple[int, int], float]:
    """Household-weeks by stratum and jurisdiction, both numbered from 1."""
    weeks: dict[tuple[int, int], float] = defaultdict(float)
    rates = frozen.rates
    for part, (jurisdiction, *_) in enumerate(rates.parts):
        place = frozen.jurisdictions.index(jurisdiction) + 1
        for group in range(len(rates.groups)):
            # Whole days again, so that the sum is exact.
            days = round(float(rates.exposed[group, part]) * DAYS_PER_WEEK)
            if days:
                weeks[group + 1, place] += days
    return {key: days / DAYS_PER_WEEK for key, days in weeks.items()}
