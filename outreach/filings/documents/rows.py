"""The records of a filing's period as a workbook, a sheet a kind, written row by row in flat memory.

One version has names, addresses and free text for those who may see them, the other none of that. Words are
always text, whatever their first character.
"""

from collections.abc import Callable, Iterator
from typing import Any, BinaryIO

from django.db.models import QuerySet
from openpyxl import Workbook
from openpyxl.cell.cell import Cell
from openpyxl.worksheet._write_only import WriteOnlyWorksheet

from outreach.filings.documents.row_sheets import ROW_SHEETS, RowSheet
from outreach.filings.documents.sheet_cells import UNPRINTABLE, for_paper, text
from outreach.filings.models import Filing

ROWS_AT_ONCE = 2_000
Watch = Callable[[int, int], None]


def write_rows(filing: Filing, target: BinaryIO, *, with_contact_data: bool, watch: Watch) -> None:
    """Write Notes and the row sheets; `watch` is told how many rows are written, of how many."""
    book = Workbook(write_only=True)
    _notes(book, filing, with_contact_data=with_contact_data)
    rows = [(sheet, _rows_of(filing, sheet)) for sheet in ROW_SHEETS]
    of = sum(query.count() for _, query in rows)
    written = 0
    for sheet, query in rows:
        columns = sheet.columns_for(with_contact_data=with_contact_data)
        page = _begin(book, sheet, columns)
        for row in query.values_list(*columns).iterator(chunk_size=ROWS_AT_ONCE):
            page.append([_cell(page, value) for value in row])
            written += 1
            if written % ROWS_AT_ONCE == 0:
                watch(written, of)
    watch(written, of)
    book.properties.title = filing.title
    book.properties.creator = "Loambook"
    book.save(target)


def _rows_of(filing: Filing, sheet: RowSheet) -> QuerySet[Any]:
    """The rows dated in the period, of the filing's jurisdiction where rows have one; voided ones are left out."""
    query = sheet.of._default_manager.filter(
        **{f"{sheet.dated_by}__range": (filing.first_day_on, filing.last_day_on)}
    )
    if filing.jurisdiction_id and sheet.jurisdiction:
        query = query.filter(**{sheet.jurisdiction: filing.jurisdiction_id})
    if any(field.name == "voided_at" for field in sheet.of._meta.fields):
        query = query.filter(voided_at__isnull=True)
    return query.order_by(sheet.dated_by, "pk")


def _notes(book: Workbook, filing: Filing, *, with_contact_data: bool) -> None:
    page = book.create_sheet("Notes")
    page.column_dimensions["A"].width = 110
    for_paper(page)
    for line in _note_lines(filing, with_contact_data=with_contact_data):
        page.append([text(page, line)])


def _note_lines(filing: Filing, *, with_contact_data: bool) -> Iterator[str]:
    yield filing.title
    yield (
        f"Records dated {filing.first_day_on} to {filing.last_day_on}, as they stand today: what was entered or "
        "mended since the filing is among them, so sums may differ from what was filed."
    )
    yield (
        "Stock and costs are of the whole programme. Households are numbers; the same number is the same household."
    )
    if with_contact_data:
        yield "With names, addresses and what people wrote. Keep it where nobody else reads it; delete it after use."
    else:
        yield "Without names, addresses and what people wrote. A row is still about one household: do not publish rows."


def _begin(book: Workbook, sheet: RowSheet, columns: tuple[str, ...]) -> WriteOnlyWorksheet:
    page = book.create_sheet(sheet.title)
    page.freeze_panes = "A2"
    for_paper(page)
    page.append([text(page, _heading(column), bold=True) for column in columns])
    return page


def _heading(column: str) -> str:
    return column.replace("__", " ").replace("counted_under", "household number").replace("_", " ")


def _cell(page: WriteOnlyWorksheet, value: Any) -> Cell | Any:
    if isinstance(value, str) and (value.startswith("=") or UNPRINTABLE.search(value)):
        return text(page, value)
    return value
