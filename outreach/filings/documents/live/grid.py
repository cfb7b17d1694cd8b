"""A sheet of formulas that is written row by row, and knows where it wrote what."""

from collections.abc import Sequence
from datetime import date

from openpyxl import Workbook
from openpyxl.cell import WriteOnlyCell
from openpyxl.styles import Alignment
from openpyxl.utils import get_column_letter
from openpyxl.workbook.defined_name import DefinedName

from outreach.filings.documents.sheet_cells import UNPRINTABLE, for_paper, text


class Formula(str):
    """A formula, as a spreadsheet takes it; every other string is words."""

    __slots__ = ()


Value = Formula | str | float | int | date | None
HEADING_HEIGHT = 48
NARROW, WIDE = 13, 46


class Grid:
    """One sheet; rows are only ever added."""

    def __init__(
        self, book: Workbook, title: str, columns: Sequence[str], *, wide: int = 1, shown_as: str = ""
    ) -> None:
        self.book, self.title, self.row = book, title, 0
        # How numbers are shown; the cells hold all of them. A long sheet goes without, as styles take time.
        self.shown_as = shown_as
        self.sheet = book.create_sheet(title)
        self.letters = {key: get_column_letter(number) for number, key in enumerate(columns, start=1)}
        for number, letter in enumerate(self.letters.values()):
            self.sheet.column_dimensions[letter].width = WIDE if number < wide else NARROW
        for_paper(self.sheet)

    def put(self, *values: Value) -> int:
        """Add a row; return its number."""
        self.sheet.append([self._cell(value) for value in values])
        self.row += 1
        return self.row

    def head(self, *words: str) -> int:
        """Add a row of headings."""
        cells = [text(self.sheet, word, bold=True) for word in words]
        for cell in cells:
            cell.alignment = Alignment(wrap_text=True, vertical="top")
        self.sheet.row_dimensions[self.row + 1].height = HEADING_HEIGHT
        self.sheet.append(cells)
        self.row += 1
        return self.row

    def formula(self, template: str, **known: object) -> Formula:
        """A formula for the next row: `{key}` is the cell of that column in it."""
        cells = {key: f"{letter}{self.row + 1}" for key, letter in self.letters.items()}
        return Formula(template.format(**{**cells, **known}))

    def span(self, key: str, first: int, last: int) -> str:
        """A range of one column, as other sheets write it."""
        letter = self.letters[key]
        return f"'{self.title}'!${letter}${first}:${letter}${last}"

    def name(self, name: str, key: str, first: int, last: int | None = None) -> None:
        """Give a cell or a range of a column a name of its own."""
        letter = self.letters[key]
        place = f"'{self.title}'!${letter}${first}" + (f":${letter}${last}" if last is not None else "")
        self.book.defined_names[name] = DefinedName(name, attr_text=place)

    def _cell(self, value: Value) -> object:
        if isinstance(value, str) and not isinstance(value, Formula):
            # Most words need no cell of their own; making one for each would take four times as long.
            return text(self.sheet, value) if value.startswith("=") or UNPRINTABLE.search(value) else value
        if not self.shown_as or value is None or isinstance(value, int | date):
            return value
        cell = WriteOnlyCell(self.sheet, value)
        cell.number_format = self.shown_as
        return cell
