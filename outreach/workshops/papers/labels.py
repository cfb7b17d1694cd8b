"""Address labels of the households on a workshop's list, on sheets of labels to peel off.

A sheet is told by the size of its labels, as makers print it on the box; positions are for US letter sheets.
From memory, common practice, no source at hand: print on plain paper first, and hold it against a sheet.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import BinaryIO

from reportlab.lib.pagesizes import letter
from reportlab.lib.units import inch
from reportlab.pdfgen.canvas import Canvas

from outreach.post import paper
from outreach.staff.faces import PLAIN, register_faces
from outreach.workshops.models import Registration
from outreach.workshops.recipients import postal_lines

PADDING = 0.15 * inch
SIZES = (11.0, 10.0, 9.0, 8.0, 7.0)
LEADING = 1.2


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelSheet:
    """How labels lie on a sheet, in inches: size, columns and rows, first corner from the upper left, steps."""

    width: float
    height: float
    columns: int
    rows: int
    left: float
    top: float
    step_across: float

    @property
    def count(self) -> int:
        return self.columns * self.rows


SHEETS = {
    "1 x 2 5/8": LabelSheet(
        width=2.625, height=1, columns=3, rows=10, left=0.1875, top=0.5, step_across=2.75
    ),
    "1 x 4": LabelSheet(width=4, height=1, columns=2, rows=10, left=0.15625, top=0.5, step_across=4.1875),
    "1 1/3 x 4": LabelSheet(
        width=4, height=4 / 3, columns=2, rows=7, left=0.15625, top=5 / 6, step_across=4.1875
    ),
}
FIRST = next(iter(SHEETS))


def addresses_of(registrations: Iterable[Registration]) -> list[list[str]]:
    """One address for each household, under the name of who signed it up, or stands first on the list."""
    by_household: dict[int, Registration] = {}
    for one in registrations:
        if one.counted_under_id not in by_household or one.is_lead:
            by_household[one.counted_under_id] = one
    return [[one.participant.full_name, *postal_lines(one.household)] for one in by_household.values()]


def write(addresses: Sequence[Sequence[str]], sheet: LabelSheet, target: BinaryIO, *, used: int = 0) -> None:
    """Write one label for each address; `used` labels of the first sheet are gone already."""
    register_faces()
    canvas = Canvas(target, pagesize=letter)
    canvas.setTitle("Labels")
    for number, lines in enumerate(addresses, start=used):
        place = number % sheet.count
        if place == 0 and number:
            canvas.showPage()
        row, column = divmod(place, sheet.columns)
        left = (sheet.left + column * sheet.step_across) * inch
        _write_one(canvas, lines, left, letter[1] - (sheet.top + row * sheet.height) * inch, sheet)
    canvas.save()


def _write_one(canvas: Canvas, lines: Sequence[str], left: float, top: float, sheet: LabelSheet) -> None:
    room = sheet.width * inch - 2 * PADDING
    high = sheet.height * inch - 2 * PADDING
    size = _size_that_fits(canvas, lines, room, high)
    canvas.setFillColor(paper.INK)
    canvas.setFont(PLAIN, size)
    slack = (high - len(lines) * size * LEADING) / 2
    for number, line in enumerate(lines):
        fitting = _cut(canvas, line, size, room)
        canvas.drawString(left + PADDING, top - PADDING - slack - size - number * size * LEADING, fitting)


def _size_that_fits(canvas: Canvas, lines: Sequence[str], room: float, high: float) -> float:
    for size in SIZES:
        widest = max((canvas.stringWidth(line, PLAIN, size) for line in lines), default=0)
        if widest <= room and len(lines) * size * LEADING <= high:
            return size
    return SIZES[-1]


def _cut(canvas: Canvas, line: str, size: float, room: float) -> str:
    """The line, cut with dots where even the smallest type is too wide."""
    while len(line) > 1 and canvas.stringWidth(line, PLAIN, size) > room:
        line = line.rstrip("…")[:-1].rstrip() + "…"
    return line
