"""A file read and understood in full, before anything is written: each row as the fact it states."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date

from django.utils.translation import gettext as _

from outreach.followup.amount_reader import AmountReader
from outreach.intake.answer_exports import AnswerGiven, period_asked, read_answer
from outreach.intake.bin_names import BinNames
from outreach.intake.fields import Fields, NotRead, PassedOver
from outreach.intake.kinds import ORDER, Kind
from outreach.intake.opening import digest, open_paperwork
from outreach.intake.places_lists import PlaceServed, read_place
from outreach.intake.sheets import Sheet, as_text
from outreach.intake.sign_in_sheets import SignIn, read_sign_in
from outreach.intake.stock_lists import StockLine, read_stock_line
from outreach.intake.titles import Occasion
from outreach.intake.understanding import Reading, Remembered, TableRow, table_rows, understand_sheet
from outreach.places.serving import PlacesList

Fact = SignIn | AnswerGiven | StockLine | PlaceServed
Stepping = Callable[[int, int], None]
LAST_DAY = date.max
MANY_WORDS = 3  # so many cells with words are more than a mark or a note on a blank line


@dataclass(frozen=True, slots=True, kw_only=True)
class PreparedRow:
    """One row with what it states, or why nothing could be read."""

    sheet: str
    number: int
    cells: tuple[str, ...]
    states: Fact | NotRead | PassedOver
    # A person has looked at it: differences from what is recorded are meant.
    is_decided: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenedFile:
    """A file that could be opened, and how its sheets are understood."""

    name: str
    data: bytes
    sheets: tuple[Sheet, ...]
    readings: tuple[Reading, ...]

    @property
    def sha256(self) -> str:
        return digest(self.data)

    def understood(self, places: PlacesList, remembered: Remembered) -> "OpenedFile":
        """Its sheets understood with these places and layouts."""
        readings = tuple(
            understand_sheet(sheet, file_name=self.name, places=places, remembered=remembered)
            for sheet in self.sheets
        )
        return replace(self, readings=readings)

    @property
    def kind(self) -> str:
        """Of the sheet with the most rows that is of a kind."""
        known = [reading for reading in self.readings if reading.kind]
        return max(known, key=lambda reading: reading.row_count).kind if known else ""

    @property
    def in_order(self) -> tuple[int, date, str]:
        """Places before stock before sheets by their day before answers."""
        place = ORDER.index(Kind(self.kind)) if self.kind else len(ORDER)
        days = [reading.occasion.held_on for reading in self.readings if reading.occasion.held_on]
        return place, min(days, default=LAST_DAY), self.name

    @property
    def row_count(self) -> int:
        return sum(reading.row_count for reading in self.readings if reading.kind)


def open_file(name: str, data: bytes, *, places: PlacesList, remembered: Remembered) -> OpenedFile:
    """Open a file and understand its sheets. Raises PaperworkRefused."""
    sheets = tuple(sheet for sheet in open_paperwork(name, data) if sheet.rows)
    opened = OpenedFile(name=name, data=data, sheets=sheets, readings=())
    return opened.understood(places, remembered)


@dataclass(frozen=True, slots=True, kw_only=True)
class Lists:
    """What rows are read against."""

    places: PlacesList
    bins: BinNames
    amounts: AmountReader

    @classmethod
    def load(cls) -> "Lists":
        return cls(places=PlacesList.load(), bins=BinNames.load(), amounts=AmountReader.load())


def _no_steps(_done: int, _of: int) -> None:
    """Nobody watches."""


def prepare(opened: OpenedFile, lists: Lists, step: Stepping = _no_steps) -> list[PreparedRow]:
    """Every row of every sheet that is of a kind, in order."""
    prepared: list[PreparedRow] = []
    for sheet, reading in zip(opened.sheets, opened.readings, strict=True):
        if reading.kind:
            for row in prepare_sheet(sheet, reading, lists):
                prepared.append(row)
                step(len(prepared), opened.row_count)
    return prepared


def prepare_sheet(sheet: Sheet, reading: Reading, lists: Lists) -> Iterator[PreparedRow]:
    headings = [column.heading for column in reading.columns if column.says in {"food", "yard"}]
    for table_row in table_rows(sheet, reading, lists.places):
        states: Fact | NotRead | PassedOver = PassedOver()
        if not table_row.is_passed_over:
            states = read_fields(reading.kind, table_row.fields, table_row.occasion, lists, headings)
            states = _not_lost(table_row, reading, states)
        yield PreparedRow(
            sheet=sheet.name,
            number=table_row.row.number,
            cells=tuple(table_row.row.texts),
            states=states,
        )


def _not_lost(
    table_row: TableRow, reading: Reading, states: Fact | NotRead | PassedOver
) -> Fact | NotRead | PassedOver:
    """A row that looks blank only because its words stand in columns that were not understood is not blank."""
    if not isinstance(states, PassedOver) or table_row.fields.person().full_name:
        return states
    unread = [column.index for column in reading.columns if not column.says]
    words = [cell for cell in map(table_row.row.at, unread) if any(map(str.isalpha, as_text(cell)))]
    if len(words) < MANY_WORDS:
        return states
    return NotRead(
        problem=_("Columns: this row is filled where no column was understood. Check the columns.")
    )


def read_fields(
    kind: str, fields: Fields, occasion: Occasion, lists: Lists, headings: Sequence[str] = ()
) -> Fact | NotRead | PassedOver:
    """What a row of a kind states; a sheet's row and a person's correction both come through here."""
    if kind == Kind.SIGN_IN:
        return read_sign_in(fields, occasion, lists.places, lists.bins)
    if kind == Kind.ANSWERS:
        return read_answer(fields, lists.places, period_asked(tuple(headings)), lists.amounts)
    if kind == Kind.STOCK:
        return read_stock_line(fields, occasion.held_on, lists.bins)
    return read_place(fields)
