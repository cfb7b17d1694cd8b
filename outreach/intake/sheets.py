"""What every kind of file is opened into: sheets of numbered rows of plain values."""

from dataclasses import dataclass
from datetime import date, datetime, time

Value = str | int | float | bool | date | datetime | time | None


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetRow:
    """One row as it stands in the file; `number` counts from 1, as a spreadsheet shows it."""

    number: int
    cells: tuple[Value, ...]
    # Every word of it is struck through.
    is_struck: bool = False

    def at(self, index: int) -> Value:
        return self.cells[index] if index < len(self.cells) else None

    @property
    def filled(self) -> list[Value]:
        return [cell for cell in self.cells if as_text(cell)]

    @property
    def texts(self) -> list[str]:
        return [as_text(cell) for cell in self.cells]


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """One sheet of a workbook, or the whole of a text file."""

    name: str
    rows: tuple[SheetRow, ...]
    # Serial day numbers count from 1904 in some workbooks.
    counts_from_1904: bool = False
    # The sheet in the file of which this is one of several tables; '' where it is the whole or the first.
    part_of: str = ""

    @property
    def width(self) -> int:
        return max((len(row.cells) for row in self.rows), default=0)


def as_text(value: Value) -> str:
    """A cell as a person would read it, without the spaces around it."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, datetime):
        return value.date().isoformat() if value.time() == time(0) else value.isoformat(" ", "minutes")
    if isinstance(value, date | time):
        return value.isoformat()
    if isinstance(value, float) and value.is_integer():
        return str(int(value))
    return " ".join(str(value).split())


def without_empty_end(cells: list[Value]) -> tuple[Value, ...]:
    """The cells up to the last one that says something."""
    last = max((index for index, cell in enumerate(cells) if as_text(cell)), default=-1)
    return tuple(cells[: last + 1])
