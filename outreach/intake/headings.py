"""Where the table of a sheet begins, and which of its rows are no rows of the table."""

import re
from collections.abc import Sequence
from functools import cache

from outreach.intake.columns import says_of_heading
from outreach.intake.contents import is_address, is_date, is_email, is_phone
from outreach.intake.sheets import Sheet, SheetRow, as_text
from outreach.intake.vocabulary import fold, words_of

LOOKED_AT = 40
_LABELLED = re.compile(r":\s*\S")  # 'Location: Granary Hall' is a title
# 'Took: M/R/T' is a heading, where those beside it are headings without a value.
MOST_LABELLED = 0.25
LONGEST_HEADING = 240
FEWEST_KNOWN = 2


def heading_row_of(sheet: Sheet) -> SheetRow | None:
    """The row that heads the table, below its title rows; none where the table has no headings."""
    best, best_known = None, 0
    for row in sheet.rows[:LOOKED_AT]:
        known = _known_headings(row)
        if known > best_known:
            best, best_known = row, known
    return best


def _known_headings(row: SheetRow) -> int:
    """How many different things the headings of this row promise; 0 where it looks like data."""
    cells = row.filled
    if any(is_email(cell) or is_phone(cell) or is_address(cell) or is_date(cell) for cell in cells):
        return 0
    labelled = sum(bool(_LABELLED.search(as_text(cell))) for cell in cells)
    if labelled > MOST_LABELLED * len(cells):
        return 0
    if any(len(as_text(cell)) > LONGEST_HEADING for cell in cells):
        return 0
    known = {says_of_heading(as_text(cell)) for cell in cells} - {""}
    return len(known) if len(known) >= FEWEST_KNOWN else 0


def rows_below(sheet: Sheet, heading: SheetRow | None) -> tuple[SheetRow, ...]:
    """The rows after the headings, or all where there are none."""
    return tuple(row for row in sheet.rows if heading is None or row.number > heading.number)


def rows_above(sheet: Sheet, heading: SheetRow | None) -> tuple[SheetRow, ...]:
    """The title rows; where there are no headings, the rows of one or two cells at the top."""
    if heading is not None:
        return tuple(row for row in sheet.rows if row.number < heading.number)
    above: list[SheetRow] = []
    for row in sheet.rows:
        if len(row.filled) > FEWEST_KNOWN or any(is_address(cell) for cell in row.filled):
            break
        above.append(row)
    return tuple(above)


def is_total(row: SheetRow) -> bool:
    """A row that sums up, closes a page or says that the list goes on."""
    if any(_total_pattern().match(fold(as_text(cell))) for cell in row.filled):
        return not any(is_address(other) or is_email(other) for other in row.filled)
    return False


@cache
def _total_pattern() -> re.Pattern[str]:
    starts = sorted(words_of("totals", "starts"), key=len, reverse=True)
    return re.compile(rf"(?:{'|'.join(map(re.escape, starts))})(?: |$)")


def repeats(row: SheetRow, heading: Sequence[str]) -> bool:
    """The headings again, as at the top of a second page."""
    said = {fold(text) for text in heading if text}
    here = [fold(as_text(cell)) for cell in row.filled]
    return bool(said) and len(here) > 1 and all(text in said for text in here)
