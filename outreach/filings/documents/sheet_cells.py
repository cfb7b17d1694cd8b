"""Cells of a workbook that is written row by row: words that can start nothing, and numbers shown short."""

import re

from openpyxl.cell import WriteOnlyCell
from openpyxl.cell.cell import Cell as SheetCell
from openpyxl.styles import Font
from openpyxl.worksheet._write_only import WriteOnlyWorksheet
from openpyxl.worksheet.properties import PageSetupProperties

BOLD = Font(bold=True)
# openpyxl refuses these; a spreadsheet could not show them.
UNPRINTABLE = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f]")


def text(sheet: WriteOnlyWorksheet, words: str, *, bold: bool = False) -> SheetCell:
    """A text cell, whatever its first character: its type is set, so nothing is taken for a formula."""
    cell = WriteOnlyCell(sheet, UNPRINTABLE.sub("", words))
    cell.data_type = "s"
    if bold:
        cell.font = BOLD
    return cell


def number(sheet: WriteOnlyWorksheet, value: float | int | None, *, bold: bool) -> SheetCell:
    """Shown short; the cell holds all of it."""
    cell = WriteOnlyCell(sheet, value)
    cell.number_format = "#,##0" if isinstance(value, int) else _decimals(value)
    if bold:
        cell.font = BOLD
    return cell


def _decimals(value: float | None) -> str:
    return "#,##0.0000" if value is not None and 0 < abs(value) < 1 else "#,##0.00"


def for_paper(sheet: WriteOnlyWorksheet) -> None:
    """Printed, a sheet lies on its side and is as wide as one page."""
    sheet.page_setup.orientation = "landscape"
    sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight = 1, 0
    sheet.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)
