"""The report as a workbook, written row by row so that memory does not grow with the rows.

Every table of the report stands on a sheet named after it, numbers as numbers beside their unit in the
heading. Words are always text: a cell that begins with =, +, -, @ or a tab can start nothing.
"""

import re
from collections.abc import Iterable, Iterator
from typing import BinaryIO

from openpyxl import Workbook
from openpyxl.cell.cell import Cell as SheetCell
from openpyxl.styles import Alignment
from openpyxl.utils import get_column_letter
from openpyxl.worksheet._write_only import WriteOnlyWorksheet

from outreach.filings.documents.sheet_cells import UNPRINTABLE, for_paper, number, text
from outreach.filings.report import Cell, Column, Headline, Number, Report, Table

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
    "by_language": "Languages",
    "by_funding_source": "Funding sources",
    "likely_active": "Likely composting",
    "retention": "Still composting",
    "retention_followed": "Still composting, known days",
    "costs": "Costs",
    "sources": "Sources",
    "shared_costs": "Shared costs",
    "in_kind": "In kind",
    "unit_costs": "Cost of one",
    "findings": "Findings",
    "exceptions": "Exceptions",
    "strata": "Strata",
    "working": "Working",
    "factors": "Factors",
}
WIDEST, NARROWEST = 60, 11
HEADING_HEIGHT = 32
SUMMARY_WIDTH, LINE_HEIGHT = 96, 15
# A styled cell costs half as much again; long tables go without.
MOST_STYLED_ROWS = 2_000


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
    for column, width in zip("ABCD", (SUMMARY_WIDTH, 14, 14, 24), strict=True):
        sheet.column_dimensions[column].width = width
    for_paper(sheet)
    heading = [text(sheet, word, bold=True) for word in ("Figure", "Value", "Unit", "Range to say aloud")]
    rows = [
        [text(sheet, report.title, bold=True)],
        [text(sheet, report.subtitle)],
        [],
        heading,
        *(_headline(sheet, line) for line in report.headlines),
        [],
        *_prose(sheet, (report.summary, *report.made_from)),
    ]
    for section in report.sections:
        if section.paragraphs:
            rows += [[], [text(sheet, section.heading, bold=True)], *_prose(sheet, section.paragraphs)]
    for place, row in enumerate(rows, start=1):
        if row and len(str(row[0].value)) > SUMMARY_WIDTH:
            sheet.row_dimensions[place].height = LINE_HEIGHT * -(-len(str(row[0].value)) // SUMMARY_WIDTH)
        sheet.append(row)


def _headline(sheet: WriteOnlyWorksheet, line: Headline) -> list[SheetCell]:
    return [
        text(sheet, line.words),
        number(sheet, line.number.value, bold=True),
        text(sheet, line.unit),
        text(sheet, line.interval),
    ]


def _prose(sheet: WriteOnlyWorksheet, paragraphs: Iterable[str]) -> Iterator[list[SheetCell]]:
    """Each sentence is a row of its own, wrapped in the wide first column."""
    for paragraph in paragraphs:
        for sentence in re.split(r"(?<=[.!?]) (?=[A-Z'])", paragraph):
            cell = text(sheet, sentence)
            cell.alignment = Alignment(wrap_text=True, vertical="top")
            yield [cell]


def _sheet(book: Workbook, table: Table) -> None:
    sheet = book.create_sheet(SHEETS.get(table.key, table.key)[:31])
    for index, width in enumerate(_widths(table), start=1):
        sheet.column_dimensions[get_column_letter(index)].width = width
    sheet.freeze_panes = "A4"
    sheet.row_dimensions[3].height = HEADING_HEIGHT
    for_paper(sheet)
    is_short = len(table.rows) <= MOST_STYLED_ROWS
    sheet.append([text(sheet, table.caption, bold=True)])
    sheet.append([text(sheet, table.note)] if table.note else [])
    sheet.append([_heading(sheet, column) for column in table.columns])
    for row in table.rows:
        sheet.append([_cell(sheet, cell, is_styled=is_short) for cell in row])
    if table.total:
        sheet.append([_cell(sheet, cell, bold=True) for cell in table.total])


def _heading(sheet: WriteOnlyWorksheet, column: Column) -> SheetCell:
    words = f"{column.heading}, {column.unit}" if column.unit else column.heading
    cell = text(sheet, words, bold=True)
    cell.alignment = Alignment(
        wrap_text=True, horizontal="right" if column.is_number else "left", vertical="top"
    )
    return cell


def _cell(
    sheet: WriteOnlyWorksheet, cell: Cell, *, bold: bool = False, is_styled: bool = False
) -> SheetCell | float | int | str | None:
    if isinstance(cell, Number):
        return number(sheet, cell.value, bold=bold) if bold or is_styled else cell.value
    # Most words need no cell of their own; making one for each would take four times as long.
    needs_care = bold or cell.startswith("=") or UNPRINTABLE.search(cell)
    return text(sheet, cell, bold=bold) if needs_care else cell


def _widths(table: Table) -> list[int]:
    longest = [len(column.heading) * 2 // 3 for column in table.columns]
    for row in table.rows[:500]:
        for index, cell in enumerate(row):
            words = cell.printed if isinstance(cell, Number) else cell
            longest[index] = max(longest[index], len(words))
    return [min(WIDEST, max(NARROWEST, length + 2)) for length in longest]
