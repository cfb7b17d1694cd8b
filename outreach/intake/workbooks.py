"""XLSX → sheets. Sizes are checked before anything is unpacked; reading stops at the first damage."""

import io
import struct
import zipfile
import zlib
from collections.abc import Iterable
from dataclasses import replace
from typing import Any
from xml.etree.ElementTree import ParseError

from defusedxml.common import DefusedXmlException
from lxml.etree import XMLSyntaxError
from openpyxl import load_workbook
from openpyxl.utils.datetime import CALENDAR_MAC_1904
from openpyxl.utils.exceptions import InvalidFileException

from outreach.intake.refusals import PaperworkRefused
from outreach.intake.sheets import Sheet, SheetRow, as_text, without_empty_end

MOST_UNPACKED_BYTES = 200 * 1024 * 1024
MOST_PARTS = 2_000
# Sheets of text pack 5 to 30 times; only what was made to burst packs hundreds of times.
MOST_RATIO = 150
RATIO_COUNTS_FROM_BYTES = 1024 * 1024
MOST_ROWS = 50_000
MOST_COLUMNS = 256
SAVE_AGAIN = "Open it in a spreadsheet program, save it again, and take that in."

_DAMAGE = (
    zipfile.BadZipFile,
    zlib.error,
    ParseError,
    XMLSyntaxError,
    DefusedXmlException,
    InvalidFileException,
    EOFError,
    KeyError,
    ValueError,
    TypeError,
    IndexError,
    AttributeError,
    OverflowError,
    NotImplementedError,
    struct.error,
)


def read_workbook(name: str, data: bytes) -> list[Sheet]:
    """Every visible sheet of an XLSX, hidden columns included."""
    _look_before_unpacking(name, data)
    try:
        book = load_workbook(io.BytesIO(data), read_only=True, data_only=True)
    except _DAMAGE as damage:
        raise PaperworkRefused(
            file=name, what="The workbook is broken and cannot be opened.", remedy=SAVE_AGAIN
        ) from damage
    try:
        reads_strikes = any(font.strike for font in book._fonts)
        shown = [sheet for sheet in book.worksheets if sheet.sheet_state == "visible"]
        since_1904 = book.epoch == CALENDAR_MAC_1904
        return [
            Sheet(
                name=sheet.title,
                rows=tuple(_rows_of(name, sheet, reads_strikes=reads_strikes)),
                counts_from_1904=since_1904,
            )
            for sheet in shown
        ]
    finally:
        book.close()


def _look_before_unpacking(name: str, data: bytes) -> None:
    try:
        parts = zipfile.ZipFile(io.BytesIO(data)).infolist()
    except _DAMAGE as damage:
        raise PaperworkRefused(
            file=name,
            what="The workbook is cut off or damaged: its table of contents is missing.",
            remedy="Copy or download it again; if that does not help, "
            + SAVE_AGAIN[0].lower()
            + SAVE_AGAIN[1:],
        ) from damage
    names = {part.filename for part in parts}
    if "xl/workbook.xml" not in names:
        what = "This is an archive, but not an XLSX workbook."
        if "xl/workbook.bin" in names or "content.xml" in names:
            what = "This is a workbook of another format (XLSB or ODS)."
        raise PaperworkRefused(file=name, what=what, remedy="Save it as XLSX or CSV, then take that in.")
    _refuse_what_would_burst(name, parts)


def _refuse_what_would_burst(name: str, parts: list[zipfile.ZipInfo]) -> None:
    unpacked = sum(part.file_size for part in parts)
    bursting = [
        part
        for part in parts
        if part.file_size > RATIO_COUNTS_FROM_BYTES
        and part.file_size > MOST_RATIO * max(part.compress_size, 1)
    ]
    if unpacked > MOST_UNPACKED_BYTES or len(parts) > MOST_PARTS or bursting:
        raise PaperworkRefused(
            file=name,
            what=f"Unpacked it would take {unpacked // (1024 * 1024)} MB in {len(parts)} parts, far more than"
            " a sign-in sheet has, so it was not unpacked.",
            remedy="Copy the rows that matter into a new workbook and take that in.",
        )


def _rows_of(name: str, sheet: Any, *, reads_strikes: bool) -> list[SheetRow]:
    sheet.reset_dimensions()  # what the file says about its size is often wrong
    rows: list[SheetRow] = []
    number = 0
    try:
        for number, cells in enumerate(sheet.iter_rows(values_only=not reads_strikes), start=1):
            row = _struck_row(number, cells) if reads_strikes else _row(number, cells)
            if row.cells:
                rows.append(row)
            refuse_too_much(name, sheet.title, rows=len(rows), columns=len(row.cells))
    except _DAMAGE as damage:
        raise PaperworkRefused(
            file=name,
            what=f"Sheet '{sheet.title}' is broken after row {number}.",
            remedy=SAVE_AGAIN,
        ) from damage
    return rows


def _row(number: int, values: Iterable[Any]) -> SheetRow:
    return SheetRow(number=number, cells=without_empty_end(list(values)))


def _struck_row(number: int, cells: Iterable[Any]) -> SheetRow:
    """A row of a workbook in which something is struck through: is all of this row?"""
    cells = list(cells)
    filled = [cell for cell in cells if as_text(cell.value)]
    is_struck = bool(filled) and all(cell.font is not None and cell.font.strike for cell in filled)
    return replace(_row(number, (cell.value for cell in cells)), is_struck=is_struck)


def refuse_too_much(name: str, sheet: str, *, rows: int, columns: int) -> None:
    """More rows or columns than any sheet of the programme has."""
    if rows > MOST_ROWS:
        what = f"'{sheet}' has more than {MOST_ROWS:,} rows."
    elif columns > MOST_COLUMNS:
        what = f"'{sheet}' has {columns:,} columns; at most {MOST_COLUMNS} are read."
    else:
        return
    raise PaperworkRefused(file=name, what=what, remedy="Split it, and take in only the rows that matter.")
