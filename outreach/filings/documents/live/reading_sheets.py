"""Two sheets of words: the working of the filing step by step, and what a reader must know of the workbook."""

from collections.abc import Iterator

from openpyxl import Workbook

from outreach.filings.documents.live.frozen import Frozen
from outreach.filings.documents.live.grid import Grid

SHEETS_WITH_FORMULAS = (
    "Summary, Answers, Usual values, Strata, Browns, Tonnes, Landfill, Handouts, Workshops, Stock and Costs hold "
    "formulas; Factors holds what they take from outside the records, by name."
)


def write_working(book: Workbook, frozen: Frozen) -> None:
    """The steps as the filing printed them, with their figures and sources as filed."""
    grid = Grid(book, "Working", ["step", "title", "what", "value", "unit", "source", "checked"], wide=0)
    for key, width in (("title", 34), ("what", 60), ("source", 46)):
        grid.sheet.column_dimensions[grid.letters[key]].width = width
    grid.put("Each step as it was filed. Values here are as filed; the other sheets work them out again.")
    grid.head("Step", "Title", "What", "Value", "Unit", "Source", "Checked")
    for row in _steps(frozen):
        grid.put(*row)


def _steps(frozen: Frozen) -> Iterator[list[str | float | int | None]]:
    for step in frozen.filing.report["account"]["period"]["working"]["steps"]:
        title = step["title"] if step["applied"] else f"{step['title']} (not applied)"
        yield [step["number"], title, step["formula"]]
        for figure in step["figures"]:
            yield [step["number"], title, figure["name"], figure["value"], figure["unit"]]
        for factor in step["factors"]:
            source = f"{factor['source']}, {factor['locator']} ({factor['year']})"
            known = (factor["meaning"], factor["value"], factor["unit"], source, str(factor["status"]))
            yield [step["number"], title, *known]


def write_notes(book: Workbook, frozen: Frozen) -> None:
    grid = Grid(book, "Notes", ["note"], wide=0)
    grid.sheet.column_dimensions["A"].width = 120
    for line in _notes(frozen):
        grid.put(line)


def _notes(frozen: Frozen) -> Iterator[str]:
    filing, method = frozen.filing, frozen.inputs.settings
    yield filing.title
    yield "It is an estimate from what households told the programme; no carbon credits are implied."
    yield SHEETS_WITH_FORMULAS
    yield (
        "Change an answer, a factor or a row and let the spreadsheet calculate: the column 'recomputed here' of "
        "Summary moves, the column 'as filed' stays."
    )
    yield (
        f"Ranges do not move: they were drawn {method.draws:,} times by version {method.version} of the method, which "
        "a spreadsheet cannot do again. They stand as filed."
    )
    yield (
        "Answers are the lines that the filing kept; each has a random number and leads to no household. Handouts, "
        "workshops, stock and costs are the records as they stand today."
    )
    yield (
        "What was entered or voided after the filing is marked and left out of the counts; set count_since on "
        "Factors to 1 and it counts. A record that was mended in place since the filing makes a difference that no "
        "column can undo."
    )
    yield (
        "People and households at workshops, each once, need the lists of who came: they are in the filing and in the "
        "records of the period, not here."
    )
    yield "A tonne is 1000 kg, a short ton 2000 lb. Greenhouse gases are in kg, or in t CO2e of 1000 kg each."
    yield "Without names, addresses and what people wrote. A row is still about one household: do not publish rows."
