"""The report as a workbook, written row by row so that memory does not grow with the rows.

Every table of the report stands on a sheet named after it, numbers as numbers beside their unit in the
heading. Words are always text: a cell that begins with =, +, -, @ or a tab can start nothing.
"""

import re
from collections.abc import Iterable
from typing import BinaryIO

from openpyxl import Workbook
from openpyxl.cell import WriteOnlyCell
from openpyxl.cell.cell import Cell as SheetCell
from openpyxl.styles import Alignment, Font
from openpyxl.utils import get_column_letter
from openpyxl.worksheet._write_only import WriteOnlyWorksheet

from outreach.filings.report import Cell, Column, Number, Report, Table

SHEETS = {
    "changes": "What changed",
    "activity": "Activity",
    "bins": "Bins",
    "response": "Response",
    "tonnes": "Tonnes",
    "tonnes_to_date": "Tonnes, year to date",
    "silence": "The silent",
    "climate": "Methane",
    "trend": "Trend",
    "draws": "Answers and factors",
    "shares": "Shares of the spread",
    "by_jurisdiction": "Jurisdictions",
    "by_district": "Districts",
    "by_family": "Families",
    "retention": "Still composting",
    "findings": "Findings",
    "exceptions": "Exceptions",
    "strata": "Strata",
    "working": "Working",
    "factors": "Factors",
}
WIDEST, NARROWEST = 60, 10
BOLD = Font(bold=True)
# openpyxl refuses these; a spreadsheet could not show them.
UNPRINTABLE = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f]")


def write_workbook(report: Report, target: BinaryIO) -> None:
    """Write the report's summary sheet and one sheet a table."""
    book = Workbook(write_only=True)
    _summary(book, report)
    for table in report.tables:
        _sheet(book, table)
    book.properties.title = report.title
    book.properties.creator = "Loambook"
    book.save(target)


def _summary(book: Workbook, report: Report) -> None:
    sheet = book.create_sheet("Summary")
    sheet.column_dimensions["A"].width = 44
    sheet.column_dimensions["B"].width = 22
    sheet.column_dimensions["C"].width = 16
    sheet.column_dimensions["D"].width = 30
    sheet.append([_text(sheet, report.title, bold=True)])
    sheet.append([_text(sheet, report.subtitle)])
    sheet.append([])
    sheet.append(
        [_text(sheet, word, bold=True) for word in ("Figure", "Value", "Unit", "Range to say aloud")]
    )
    for line in report.headlines:
        sheet.append(
            [
                _text(sheet, line.words),
                line.number.value,
                _text(sheet, line.unit),
                _text(sheet, line.interval),
            ]
        )
    sheet.append([])
    _prose(sheet, (report.summary, *report.made_from))
    for section in report.sections:
        if section.paragraphs:
            sheet.append([])
            sheet.append([_text(sheet, section.heading, bold=True)])
            _prose(sheet, section.paragraphs)


def _prose(sheet: WriteOnlyWorksheet, paragraphs: Iterable[str]) -> None:
    """Long sentences wrap in four merged-looking columns' width: each sentence is a row of its own."""
    for paragraph in paragraphs:
        for sentence in re.split(r"(?<=[.!?]) (?=[A-Z'])", paragraph):
            sheet.append([_text(sheet, sentence)])


def _sheet(book: Workbook, table: Table) -> None:
    sheet = book.create_sheet(SHEETS.get(table.key, table.key)[:31])
    for index, width in enumerate(_widths(table), start=1):
        sheet.column_dimensions[get_column_letter(index)].width = width
    sheet.freeze_panes = "A4"
    sheet.append([_text(sheet, table.caption, bold=True)])
    sheet.append([_text(sheet, table.note)] if table.note else [])
    sheet.append([_heading(sheet, column) for column in table.columns])
    for row in table.rows:
        sheet.append([_cell(sheet, cell) for cell in row])
    if table.total:
        sheet.append([_cell(sheet, cell, bold=True) for cell in table.total])


def _heading(sheet: WriteOnlyWorksheet, column: Column) -> SheetCell:
    words = f"{column.heading}, {column.unit}" if column.unit else column.heading
    cell = _text(sheet, words, bold=True)
    cell.alignment = Alignment(
        wrap_text=True, horizontal="right" if column.is_number else "left", vertical="top"
    )
    return cell


def _cell(
    sheet: WriteOnlyWorksheet, cell: Cell, *, bold: bool = False
) -> SheetCell | float | int | str | None:
    if isinstance(cell, Number):
        return _styled(sheet, cell.value) if bold else cell.value
    # Most words need no cell of their own; making one for each would take four times as long.
    needs_care = bold or cell.startswith("=") or UNPRINTABLE.search(cell)
    return _text(sheet, cell, bold=bold) if needs_care else cell


def _styled(sheet: WriteOnlyWorksheet, value: float | int | None) -> SheetCell:
    cell = WriteOnlyCell(sheet, value)
    cell.font = BOLD
    return cell


def _text(sheet: WriteOnlyWorksheet, words: str, *, bold: bool = False) -> SheetCell:
    """A text cell, whatever its first character: its type is set, so nothing is taken for a formula."""
    cell = WriteOnlyCell(sheet, UNPRINTABLE.sub("", words))
    cell.data_type = "s"
    if bold:
        cell.font = BOLD
    return cell


def _widths(table: Table) -> list[int]:
    longest = [len(column.heading) * 2 // 3 for column in table.columns]
    for row in table.rows[:500]:
        for index, cell in enumerate(row):
            words = cell.printed if isinstance(cell, Number) else cell
            longest[index] = max(longest[index], len(words))
    return [min(WIDEST, max(NARROWEST, length + 2)) for length in longest]
