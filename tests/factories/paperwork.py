"""Paperwork of invented habits, made as bytes."""

import csv
import io
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from openpyxl import Workbook

Rows = Sequence[Sequence[Any]]

PLACES = (
    b"Jurisdiction,City,ZIP\n"
    b"Tidewell,Tidewell,00431\n"
    b"Cinder Falls,Cinder Falls,00432\n"
    b"Cinder Falls,Upper Cinder Falls,00433\n"
)


def make_workbook(sheets: Mapping[str, Rows] | Rows, *, merged: Mapping[str, Iterable[str]] = {}) -> bytes:
    """An XLSX of one or more sheets; `merged` are ranges by sheet."""
    if not isinstance(sheets, Mapping):
        sheets = {"Sheet1": sheets}
    book = Workbook()
    book.remove(book.active)
    for name, rows in sheets.items():
        sheet = book.create_sheet(name)
        for row in rows:
            sheet.append(list(row))
        for cells in merged.get(name, ()):
            sheet.merge_cells(cells)
    return saved(book)


def saved(book: Workbook) -> bytes:
    stream = io.BytesIO()
    book.save(stream)
    return stream.getvalue()


def make_csv(rows: Rows, *, separator: str = ",", encoding: str = "utf-8") -> bytes:
    stream = io.StringIO()
    csv.writer(stream, delimiter=separator).writerows(rows)
    return stream.getvalue().encode(encoding)
