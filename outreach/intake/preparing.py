"""A file read and understood in full, before anything is written: each row as the fact it states."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date

from django.utils.translation import gettext as _

from outreach.followup.amount_reader import AmountReader
from outreach.intake.answer_exports import AnswerGiven, period_asked, read_answer
from outreach.intake.bin_names import BinNames
from outreach.intake.fields import Fields, NotRead, PassedOver, as_kept
from outreach.intake.kinds import ORDER, Kind
from outreach.intake.opening import digest, open_paperwork
from outreach.intake.places_lists import PlaceServed, read_place
from outreach.intake.sheets import Sheet, as_text
from outreach.intake.sign_in_sheets import SignIn, read_sign_in
from outreach.intake.stock_lists import StockLine, read_stock_line
from outreach.intake.tables import tables_of
from outreach.intake.titles import Occasion
from outreach.intake.understanding import Around, Reading, Remembered, TableRow, table_rows, understand_sheet
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
        """Its sheets understood with these places, those that the file itself lists, and these layouts."""
        around = Around(file_name=self.name, places=places, remembered=remembered)
        first = replace(self, readings=tuple(_understood(self.sheets, around)))
        listed = first.places_listed()
        if not listed or len(first.kinds) < 2:
            return first
        around = replace(around, places=places.with_listed(listed))
        return replace(self, readings=tuple(_understood(self.sheets, around)))

    def only(self, kind: str) -> "OpenedFile":
        """The file as if it held nothing but its sheets of one kind."""
        pairs = [pair for pair in zip(self.sheets, self.readings, strict=True) if pair[1].kind == kind]
        return replace(self, sheets=tuple(one for one, _ in pairs), readings=tuple(one for _, one in pairs))

    @property
    def kinds(self) -> set[str]:
        return {reading.kind for reading in self.readings if reading.kind}

    def places_listed(self) -> list[tuple[str, str]]:
        """The cities and ZIPs that places lists among its sheets name."""
        return [
            (stated.city_name, zip_code)
            for sheet, reading in zip(self.sheets, self.readings, strict=True)
            if reading.kind == Kind.PLACES
            for row in table_rows(sheet, reading, PlacesList())
            if isinstance(stated := read_place(row.fields), PlaceServed)
            for zip_code in stated.zip_codes
        ]

    @property
    def kind(self) -> str:
        """Of the sheet with the most rows that is of a kind."""
        known = [reading for reading in self.readings if reading.kind]
        return max(known, key=lambda reading: reading.row_count).kind if known else ""

    @property
    def in_order(self) -> tuple[int, date, bool, str]:
        """Places before stock before sheets by their day before answers; those with an hour first, so that
        one without it is not taken for another's."""
        place = min((ORDER.index(Kind(kind)) for kind in self.kinds), default=len(ORDER))
        days = [reading.occasion.held_on for reading in self.readings if reading.occasion.held_on]
        has_hour = any(reading.occasion.start for reading in self.readings)
        return place, min(days, default=LAST_DAY), not has_hour, self.name

    @property
    def row_count(self) -> int:
        return sum(reading.row_count for reading in self.readings if reading.kind)


def open_file(name: str, data: bytes, *, places: PlacesList, remembered: Remembered) -> OpenedFile:
    """Open a file and understand its sheets. Raises PaperworkRefused."""
    sheets = tuple(table for sheet in open_paperwork(name, data) if sheet.rows for table in tables_of(sheet))
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


def _understood(sheets: Iterable[Sheet], around: Around) -> Iterator[Reading]:
    """Each sheet in turn; a table below another on the same sheet is of its occasion unless it says otherwise."""
    before = Occasion()
    for sheet in sheets:
        reading = understand_sheet(sheet, replace(around, before=before if sheet.part_of else Occasion()))
        before = reading.occasion.or_else(before) if sheet.part_of else reading.occasion
        yield reading


def _no_steps(_done: int, _of: int) -> None:
    """Nobody watches."""


def prepare(opened: OpenedFile, lists: Lists, step: Stepping = _no_steps) -> list[PreparedRow]:
    """Every row of every sheet that is of a kind: places first, then stock, sign-ins and answers."""
    prepared: list[PreparedRow] = []
    of_a_kind = [pair for pair in zip(opened.sheets, opened.readings, strict=True) if pair[1].kind]
    for sheet, reading in sorted(of_a_kind, key=lambda pair: ORDER.index(Kind(pair[1].kind))):
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
            states = _struck(table_row, _not_lost(table_row, reading, states))
        yield PreparedRow(
            sheet=sheet.name,
            number=table_row.row.number,
            cells=tuple(map(as_kept, table_row.row.cells)),
            states=states,
        )


def _struck(table_row: TableRow, states: Fact | NotRead | PassedOver) -> Fact | NotRead | PassedOver:
    """Someone crossed the row out; whether it counts all the same, a person says."""
    if isinstance(states, PassedOver) or not table_row.is_struck:
        return states
    return NotRead(problem=struck_through())


def struck_through() -> str:
    return _("The row is struck through. Record it if it counts all the same.")


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
