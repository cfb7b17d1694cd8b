"""A copy of a paperwork file without some rows. Other rows keep their numbers."""

import csv
import io
from collections.abc import Callable, Collection, Sequence
from typing import Any

from openpyxl import load_workbook

from outreach.intake.delimited import _decode, _separator_of, _separator_said
from outreach.intake.refusals import PaperworkRefused
from outreach.intake.workbooks import _DAMAGE

Numbers = Collection[tuple[str, int]]
IsTheirs = Callable[[Sequence[Any]], bool]


class CannotRedact(Exception):
    """The file cannot be read well enough to take single rows out of it."""


def redacted(name: str, data: bytes, numbers: Numbers, is_theirs: IsTheirs) -> bytes | None:
    """The file without the rows `numbers` (sheet as it was read, row) and those that `is_theirs` finds.

    None where no row had to go. A workbook is written anew, hidden sheets included; of what is no cell
    (pictures, charts) the copy keeps nothing.

    Raises
    ------
    CannotRedact
        If the file is broken: then it is not known what stands in it.
    """
    if data.startswith(b"PK"):
        return _workbook(data, numbers, is_theirs)
    return _text(name, data, {row for _sheet, row in numbers}, is_theirs)


def _text(name: str, data: bytes, numbers: set[int], is_theirs: IsTheirs) -> bytes | None:
    try:
        whole = _decode(name, data)
    except PaperworkRefused as refusal:
        raise CannotRedact from refusal
    separator, text = _separator_said(whole)
    lines = list(io.StringIO(text, newline=""))
    reader = csv.reader(lines, delimiter=separator or _separator_of(text), strict=True)
    first, gone = 1, False
    try:
        for cells in reader:
            if first in numbers or is_theirs(cells):
                lines[first - 1 : reader.line_num] = ["\n"] * (reader.line_num - first + 1)
                gone = True
            first = reader.line_num + 1
    except csv.Error as damage:
        raise CannotRedact from damage
    return (whole[: len(whole) - len(text)] + "".join(lines)).encode() if gone else None


def _workbook(data: bytes, numbers: Numbers, is_theirs: IsTheirs) -> bytes | None:
    try:
        book = load_workbook(io.BytesIO(data), data_only=True)
    except _DAMAGE as damage:
        raise CannotRedact from damage
    gone = False
    for sheet in book.worksheets:
        ours = {
            row for name, row in numbers if name == sheet.title or name.startswith(f"{sheet.title[:90]}, ")
        }
        for number, cells in enumerate(sheet.iter_rows(), start=1):
            if number in ours or is_theirs([cell.value for cell in cells]):
                gone = True
                _clear(cells)
    if not gone:
        return None
    target = io.BytesIO()
    book.save(target)
    return target.getvalue()


def _clear(cells: Sequence[Any]) -> None:
    for cell in cells:
        if type(cell).__name__ != "MergedCell":
            cell.value, cell.comment, cell.hyperlink = None, None, None
