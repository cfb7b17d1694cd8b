"""Values that some answers lack, taken from those who gave them: their stratum, else its band, else all."""

from dataclasses import dataclass

from openpyxl import Workbook

from outreach.filings.documents.live.frozen import Frozen
from outreach.filings.documents.live.grid import Formula, Grid

COLUMNS = ("where", "above", "below", "missing", "given", "serves", "usual")
HEADINGS = (
    "From whom",
    "Sum of what was given",
    "Weight of those who gave it",
    "Weight of those who did not",
    "Answers that gave it",
    "Serves (1 yes)",
    "Usual value",
)


@dataclass(frozen=True, slots=True)
class Lacking:
    """One value that answers may lack: its name, what it is, and its sums over the rows of a stratum."""

    name: str
    words: str
    above: str
    below: str
    missing: str
    given: str


def _amount(material: str) -> Lacking:
    return Lacking(
        f"{material}_usual",
        f"{material.capitalize()}, kg a week, of those still composting",
        f"SUMPRODUCT({{weeks}},{{{material}_known}},{{{material}_told}})",
        f"SUMPRODUCT({{weeks}},{{{material}_known}})",
        f"SUMPRODUCT({{weeks}},{{still}}-{{{material}_known}})",
        f"SUM({{{material}_known}})",
    )


def _share(material: str, where: str, words: str) -> Lacking:
    weight, said = f"{{{material}_w}}", f"{{{material}_before}}"
    return Lacking(
        f"{material}_{where}_usual",
        f"{material.capitalize()}: share {words}",
        f"SUMPRODUCT({weight},{said},{{{material}_{where}_said}})",
        f"SUMPRODUCT({weight},{said})",
        f"SUMPRODUCT({weight},1-{said})",
        f"SUMPRODUCT({said}*({weight}>0))",
    )


LACKING = (
    _amount("food"),
    _amount("yard"),
    *(
        _share(material, where, words)
        for material in ("food", "yard")
        for where, words in (("trash", "to trash before"), ("composted", "composted before"))
    ),
)
ENOUGH = "=IF(OR({missing}<=0,{given}>=fewest_answers),1,0)"
OWN = "IF({below}>0,{above}/{below},0)"


def write_usual_values(
    book: Workbook, frozen: Frozen, answers: Grid, rows: dict[int, tuple[int, int]]
) -> None:
    """One table a value: a row for everybody, one a band, one a stratum; a stratum that has enough serves itself."""
    grid = Grid(book, "Usual values", COLUMNS, shown_as="#,##0.0000")
    bands = list(dict.fromkeys(group.bands for group in frozen.groups))
    for lacking in LACKING:
        grid.put(lacking.words)
        grid.head(*HEADINGS)
        first = grid.row + 2 + len(bands)
        places = [first + number for number in range(len(frozen.groups))]
        _joined(grid, "Everybody", places, above=None)
        everybody = grid.row
        band_row = {}
        for number, band in enumerate(bands, start=1):
            of_band = [row for row, group in zip(places, frozen.groups, strict=True) if group.bands == band]
            band_row[band] = _joined(grid, f"Band {number}", of_band, above=everybody)
        for number, group in enumerate(frozen.groups, start=1):
            ranges = {key: answers.span(key, *rows[number]) for key in answers.letters}
            sums = (lacking.above, lacking.below, lacking.missing, lacking.given)
            grid.put(
                f"Stratum {number}",
                *(Formula("=" + formula.format(**ranges)) for formula in sums),
                grid.formula(ENOUGH),
                _usual(grid, band_row[group.bands]),
            )
        grid.name(lacking.name, "usual", first, grid.row)
        grid.put()


def _joined(grid: Grid, words: str, rows: list[int], above: int | None) -> int:
    """A row that adds up others."""
    summed = [
        Formula("=" + "+".join(f"{grid.letters[key]}{row}" for row in rows))
        for key in ("above", "below", "missing", "given")
    ]
    return grid.put(words, *summed, grid.formula(ENOUGH), _usual(grid, above))


def _usual(grid: Grid, above: int | None) -> Formula:
    """Its own value where it serves, else that of the row above it in rank."""
    if above is None:
        return grid.formula("=" + OWN)
    return grid.formula("=IF({serves}=1," + OWN + ",{wider})", wider=f"{grid.letters['usual']}{above}")
