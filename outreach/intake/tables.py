"""A sheet with several tables below one another → one sheet each, with its own headings and titles."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from outreach.intake.columns import Column, heading_texts, says_of_heading
from outreach.intake.contents import is_address, is_email, is_phone
from outreach.intake.headings import FEWEST_KNOWN, heading_row_of, is_total, known_headings, repeats
from outreach.intake.kinds import kind_of
from outreach.intake.sheets import Sheet, SheetRow, Value, as_text

# So many different things a row within a table must promise, and so much of it, to head another table.
FEWEST_OF_ANOTHER = 3
MOST_OF_IT = 0.7
LONGEST_NAME = 90


def tables_of(sheet: Sheet) -> list[Sheet]:
    """The sheet, or its tables as sheets of their own where another heading row begins another table.

    Headings that are repeated, as at the top of a second page, begin none. Rows keep their numbers.
    """
    starts = _starts(sheet)
    if len(starts) < 2:
        return [sheet]
    bounds = [0, *starts[1:], len(sheet.rows)]
    parts = [sheet.rows[begin:end] for begin, end in pairwise(bounds)]
    return [replace(sheet, rows=parts[0]), *(_part(sheet, rows) for rows in parts[1:])]


def whole(sheets: Sequence[Sheet]) -> list[Sheet]:
    """The sheets as they stand in the file, their tables put together again."""
    joined: list[Sheet] = []
    for sheet in sheets:
        if sheet.part_of:
            joined[-1] = replace(joined[-1], rows=joined[-1].rows + sheet.rows)
        else:
            joined.append(sheet)
    return joined


def _part(sheet: Sheet, rows: tuple[SheetRow, ...]) -> Sheet:
    name = f"{sheet.name[:LONGEST_NAME]}, from row {rows[0].number}"
    return replace(sheet, name=name, rows=rows, part_of=sheet.name)


def _starts(sheet: Sheet) -> list[int]:
    """Where each table begins, its titles included, as positions among the rows."""
    best = heading_row_of(sheet)
    heads: list[int] = []
    for position, row in enumerate(sheet.rows):
        if row is not best and not (_may_be_headings(row) and _heads_a_table(row)):
            continue
        if heads and repeats(row, heading_texts(sheet.rows[heads[-1]])):
            continue
        if not heads or _holds_rows(sheet.rows[heads[-1] + 1 : position]):
            heads.append(position)
        elif row is best:
            heads[-1] = position  # headings in two rows: the one that says more
    return [position - _titles_above(sheet.rows[:position]) for position in heads]


def _may_be_headings(row: SheetRow) -> bool:
    """Words, with a digit in one of them at most: quick to see, and true of hardly any row of a list."""
    words = [cell for cell in row.filled if isinstance(cell, str)]
    with_digits = sum(any(map(str.isdigit, text)) for text in words)
    return len(words) == len(row.filled) >= FEWEST_OF_ANOTHER and with_digits < 2


def _heads_a_table(row: SheetRow) -> bool:
    """Most of its cells are headings, and together they head one of the four kinds of lists."""
    says = [says_of_heading(as_text(cell)) for cell in row.filled]
    known = [said for said in says if said]
    columns = (Column(index=index, heading="", says=said, because="") for index, said in enumerate(known))
    enough = len(set(known)) >= FEWEST_OF_ANOTHER and len(known) >= MOST_OF_IT * len(says)
    return enough and known_headings(row) > 0 and kind_of(columns) is not None


def _holds_rows(rows: Sequence[SheetRow]) -> bool:
    return any(not _is_title(row) for row in rows)


def _titles_above(rows: Sequence[SheetRow]) -> int:
    """How many rows right above a heading row are its titles."""
    titles = 0
    while titles < len(rows) and _is_title(rows[-1 - titles]):
        titles += 1
    return titles


def _is_title(row: SheetRow) -> bool:
    """One or two cells that are nobody's row and sum nothing up."""
    return len(row.filled) <= FEWEST_KNOWN and not is_total(row) and not any(map(_is_somebodys, row.filled))


def _is_somebodys(cell: Value) -> bool:
    return is_address(cell) or is_email(cell) or is_phone(cell)
