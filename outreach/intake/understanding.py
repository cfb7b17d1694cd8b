"""How a sheet is understood: its kind, headings, columns and occasion; what a person may change."""

import hashlib
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import Any, Self

from diversion.decimal_signs import DecimalSign, decimal_sign_in
from outreach.intake.columns import Column, heading_texts, understand_columns
from outreach.intake.dates import is_day_first
from outreach.intake.fields import Fields, Habits
from outreach.intake.headings import heading_row_of, is_note, is_total, repeats, rows_above, rows_below
from outreach.intake.kinds import kind_of
from outreach.intake.models import PaperworkFile
from outreach.intake.sheets import Sheet, SheetRow, as_text
from outreach.intake.titles import (
    Occasion,
    labelled,
    occasion_from_file_name,
    occasion_from_rows,
    with_city_of_venue_name,
)
from outreach.intake.vocabulary import fold
from outreach.places.serving import PlacesList

Kind = PaperworkFile.Kind
Remembered = Callable[[str], tuple[str, ...] | None]
FEWEST_CELLS = 2
AMOUNTS = frozenset({"food", "yard"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """How one sheet was understood. `kind` is '' for a sheet that holds no table of the four kinds."""

    name: str
    kind: str
    heading_row: int
    columns: tuple[Column, ...]
    occasion: Occasion
    habits: Habits
    layout_key: str
    row_count: int

    def as_json(self) -> dict[str, Any]:
        return {
            "name": self.name,
            "kind": self.kind,
            "heading_row": self.heading_row,
            "columns": [column.as_json() for column in self.columns],
            **self.occasion.as_json(),
            "day_first": self.habits.day_first,
            "since_1904": self.habits.since_1904,
            "decimal_sign": self.habits.decimal_sign.value,
            "layout_key": self.layout_key,
            "row_count": self.row_count,
        }

    @classmethod
    def from_json(cls, stored: Mapping[str, Any]) -> Self:
        columns = tuple(map(Column.from_json, stored["columns"]))
        habits = Habits(
            day_first=stored["day_first"],
            since_1904=stored["since_1904"],
            # What was understood before decimal signs were looked at says none.
            decimal_sign=DecimalSign(stored.get("decimal_sign", "")),
        )
        return cls(
            name=stored["name"],
            kind=stored["kind"],
            heading_row=stored["heading_row"],
            columns=columns,
            occasion=Occasion.from_json(stored),
            habits=_with_columns(habits, columns),
            layout_key=stored["layout_key"],
            row_count=stored["row_count"],
        )

    def changed(self, *, kind: str, says: list[str], occasion: Occasion) -> Self:
        """The same sheet as a person understands it."""
        columns = tuple(
            column if column.says == said else replace(column, says=said, because="person")
            for column, said in zip(self.columns, says, strict=True)
        )
        habits = _with_columns(self.habits, columns)
        return replace(self, kind=kind, columns=columns, occasion=occasion, habits=habits)


def _with_columns(habits: Habits, columns: tuple[Column, ...]) -> Habits:
    return replace(habits, columns=frozenset(column.says for column in columns if column.says))


def _habits_of(sheet: Sheet, columns: tuple[Column, ...], table: list[SheetRow]) -> Habits:
    """How the sheet writes its days and decimals, as its rows show."""
    amounts = [column.index for column in columns if column.says in AMOUNTS]
    written = (cell for row in table for cell in map(row.at, amounts) if isinstance(cell, str))
    habits = Habits(
        day_first=_is_day_first(columns, table),
        since_1904=sheet.counts_from_1904,
        decimal_sign=decimal_sign_in(written),
    )
    return _with_columns(habits, columns)


@dataclass(frozen=True, slots=True, kw_only=True)
class Around:
    """What a sheet is understood with: its file, the places served, layouts accepted before, and what the
    table above it on the same sheet says of the occasion."""

    file_name: str
    places: PlacesList
    remembered: Remembered = lambda _key: None
    before: Occasion = field(default_factory=Occasion)

    def knows_headings(self, row: SheetRow) -> bool:
        """A person has accepted a layout with just these headings."""
        filled = len(row.filled) >= FEWEST_CELLS
        return filled and self.remembered(_layout_key(heading_texts(row))) is not None


def understand_sheet(sheet: Sheet, around: Around, *, heading_row: int | None = None) -> Reading:
    """Find the headings, what each column says, the kind, and when and where it was.

    `heading_row` is the number of the row with the headings where a person says it, 0 for none.
    """
    heading = _heading_of(sheet, around, heading_row)
    headings = heading_texts(heading) if heading else ()
    below = rows_below(sheet, heading)
    table = [row for row in below if not (is_total(row) or is_note(row) or repeats(row, headings))]
    layout_key = _layout_key(headings)
    columns = understand_columns(headings, table, around.places)
    columns = _as_remembered(columns, around.remembered(layout_key) if layout_key else None)
    kind = kind_of(columns) or ""
    occasion = Occasion()
    if kind in {Kind.SIGN_IN, Kind.STOCK}:
        occasion = _occasion_of(sheet, rows_above(sheet, heading), around)
    return Reading(
        name=sheet.name,
        kind=kind,
        heading_row=heading.number if heading else 0,
        columns=columns,
        occasion=occasion,
        habits=_habits_of(sheet, columns, table),
        layout_key=layout_key,
        row_count=len(table),
    )


def _heading_of(sheet: Sheet, around: Around, said: int | None) -> SheetRow | None:
    if said is None:
        return heading_row_of(sheet, around.knows_headings)
    return next((row for row in sheet.rows if row.number == said), None)


def _occasion_of(sheet: Sheet, titles: tuple[SheetRow, ...], around: Around) -> Occasion:
    places = around.places
    said = occasion_from_rows(titles, places, since_1904=sheet.counts_from_1904)
    if sheet.part_of and not _names_a_place(said, titles, places):
        said = replace(said, venue="")  # 'Walk-ins' over a second table
    said = said.or_else(around.before)
    said = said.or_else(occasion_from_file_name(sheet.part_of or sheet.name, places))
    return with_city_of_venue_name(said.or_else(occasion_from_file_name(around.file_name, places)), places)


def _names_a_place(said: Occasion, titles: tuple[SheetRow, ...], places: PlacesList) -> bool:
    """Whether the titles of a further table are sure to mean a venue, not a part of the list."""
    is_labelled = any(labelled(row, places).venue for row in titles)
    return bool(said.held_on or said.city) or is_labelled or places.knows_venue(said.venue)


def _is_day_first(columns: tuple[Column, ...], rows: list[SheetRow]) -> bool:
    dated = [column.index for column in columns if column.says == "date"]
    return is_day_first(row.at(index) for index in dated for row in rows)


def _layout_key(headings: tuple[str, ...]) -> str:
    """The same for every sheet with these headings in this order; '' where there are none."""
    if not any(headings):
        return ""
    return hashlib.sha256("|".join(map(fold, headings)).encode()).hexdigest()


def _as_remembered(columns: tuple[Column, ...], says: tuple[str, ...] | None) -> tuple[Column, ...]:
    if says is None or len(says) > len(columns):
        return columns
    says += ("",) * (len(columns) - len(says))
    return tuple(
        replace(column, says=said, because="person") for column, said in zip(columns, says, strict=True)
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class TableRow:
    """One row below the headings: its fields and, for sign-ins, when and where it happened."""

    row: SheetRow
    fields: Fields
    occasion: Occasion
    is_passed_over: bool

    @property
    def is_struck(self) -> bool:
        return self.row.is_struck


def table_rows(sheet: Sheet, reading: Reading, places: PlacesList) -> Iterator[TableRow]:
    """The rows of the table in order; a title in the middle changes the occasion of those that follow."""
    occasion = reading.occasion
    headings = tuple(column.heading for column in reading.columns)
    titles_end = reading.heading_row or _titles_end(sheet)
    for row in sheet.rows:
        if row.number <= titles_end:
            continue
        passed_over = is_total(row) or is_note(row) or repeats(row, headings)
        if not passed_over and reading.kind == Kind.SIGN_IN and _is_title(row, reading):
            said = labelled(row, places, since_1904=reading.habits.since_1904)
            occasion, passed_over = said.or_else(occasion), said != Occasion()
        fields = Fields.of_row(row, reading.columns, reading.habits)
        yield TableRow(row=row, fields=fields, occasion=occasion, is_passed_over=passed_over)


def _titles_end(sheet: Sheet) -> int:
    above = rows_above(sheet, None)
    return above[-1].number if above else 0


def _is_title(row: SheetRow, reading: Reading) -> bool:
    """One to four cells of which one is a label: 'Date: 3 May' between two lists on one sheet."""
    filled = [as_text(cell) for cell in row.filled]
    return len(filled) <= 2 * FEWEST_CELLS and any(":" in text for text in filled)
