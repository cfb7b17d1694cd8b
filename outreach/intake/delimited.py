"""CSV in any of its habits → one sheet: UTF-8 with or without mark, Windows-1252; comma, semicolon, tab."""

import csv
import io
from collections import Counter
from pathlib import PurePath

from outreach.intake.refusals import PaperworkRefused
from outreach.intake.sheets import Sheet, SheetRow, without_empty_end
from outreach.intake.workbooks import refuse_too_much

SEPARATORS = (",", ";", "\t", "|")
LOOKED_AT = 60


def read_delimited(name: str, data: bytes) -> Sheet:
    """The rows of a text export; refuses what is no text and quotes that never close."""
    text = _decode(name, data)
    separator, text = _separator_said(text)
    separator = separator or _separator_of(text)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    rows: list[SheetRow] = []
    sheet = PurePath(name).stem
    first_line = 1
    try:
        for cells in reader:
            row = SheetRow(number=first_line, cells=without_empty_end(list(cells)))
            first_line = reader.line_num + 1
            if row.cells:
                rows.append(row)
            refuse_too_much(name, sheet, rows=len(rows), columns=len(row.cells))
    except csv.Error as damage:
        raise PaperworkRefused(
            file=name,
            what=f"The text is broken from line {first_line} on: {damage}.",
            remedy="Look at the quotation marks in that line, or export it again.",
        ) from damage
    return Sheet(name=sheet, rows=tuple(rows))


def _decode(name: str, data: bytes) -> str:
    for mark, encoding in (
        (b"\xff\xfe", "utf-16"),
        (b"\xfe\xff", "utf-16"),
        (b"", "utf-8-sig"),
        (b"", "cp1252"),
    ):
        if not data.startswith(mark):
            continue
        try:
            text = data.decode(encoding)
        except UnicodeDecodeError:
            continue
        if not _has_control_characters(text):
            return text
    raise PaperworkRefused(
        file=name,
        what="This is neither a workbook nor text in UTF-8 or Windows-1252.",
        remedy="Export it as CSV (UTF-8) or save it as XLSX, then take that in.",
    )


def _has_control_characters(text: str) -> bool:
    return any(ord(letter) < 32 and letter not in "\t\n\r\f\v" for letter in text)


def _separator_said(text: str) -> tuple[str, str]:
    """Some programs write the separator into a first line 'sep=;'."""
    first, _, rest = text.partition("\n")
    if first.lower().startswith("sep=") and len(first.strip()) == len("sep=;"):
        return first.strip()[-1], rest
    return "", text


def _separator_of(text: str) -> str:
    """The one that most lines agree about, with the most columns."""
    agreed = {separator: _agreed_columns(text, separator) for separator in SEPARATORS}
    return max(SEPARATORS, key=lambda separator: agreed[separator])


def _agreed_columns(text: str, separator: str) -> tuple[int, int]:
    """How many lines have the same number of columns, more than one, and how many columns that is."""
    counts: Counter[int] = Counter()
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator)
    try:
        for cells, _ in zip(reader, range(LOOKED_AT), strict=False):
            counts[len(cells)] += len(cells) > 1
    except csv.Error:
        pass
    columns, lines = max(counts.items(), key=lambda pair: (pair[1], pair[0]), default=(1, 0))
    return lines, columns
