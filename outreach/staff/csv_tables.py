"""Tables as CSV: every cell text that no spreadsheet takes for a formula."""

import csv
import io
from collections.abc import Iterable, Sequence

STARTS_A_FORMULA = ("=", "+", "-", "@", "\t", "\r")


def as_csv(heading: Sequence[str], rows: Iterable[Sequence[object]]) -> bytes:
    """A table in UTF-8 with a heading row. Words that could start a formula get an apostrophe before them."""
    made = io.StringIO(newline="")
    writer = csv.writer(made)
    writer.writerow(heading)
    for row in rows:
        writer.writerow([cell(value) for value in row])
    return made.getvalue().encode("utf-8-sig")


def cell(value: object) -> object:
    """A value as it may stand in a CSV: nothing as empty, and words that could start a formula after an apostrophe."""
    if value is None:
        return ""
    if isinstance(value, str) and value.startswith(STARTS_A_FORMULA):
        return f"'{value}"
    return value
