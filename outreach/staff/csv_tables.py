"""Tables as CSV: every cell text that no spreadsheet takes for a formula."""

import csv
import io
from collections.abc import Iterable, Iterator, Sequence

STARTS_A_FORMULA = ("=", "+", "-", "@", "\t", "\r")


def as_csv(heading: Sequence[str], rows: Iterable[Sequence[object]]) -> bytes:
    """A table in UTF-8 with a heading row. Words that could start a formula get an apostrophe before them."""
    return b"".join(lines(heading, rows))


def lines(
    heading: Sequence[str], rows: Iterable[Iterable[object]], *, encoding: str = "utf-8-sig"
) -> Iterator[bytes]:
    """The same line by line, for tables that do not fit in memory; `encoding` is that of the heading row."""
    made = io.StringIO(newline="")
    writer = csv.writer(made)
    writer.writerow(heading)
    yield made.getvalue().encode(encoding)
    for row in rows:
        made.seek(0)
        made.truncate()
        writer.writerow([cell(value) for value in row])
        yield made.getvalue().encode()


def cell(value: object) -> object:
    """A value as it may stand in a CSV: nothing as empty, and words that could start a formula after an apostrophe."""
    if value is None:
        return ""
    if isinstance(value, str) and value.startswith(STARTS_A_FORMULA):
        return f"'{value}"
    return value
