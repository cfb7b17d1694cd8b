"""Where the table of a sheet begins, and which of its rows are no rows of the table."""

import re
from collections.abc import Callable, Sequence
from functools import cache

from outreach.intake.columns import says_of_heading
from outreach.intake.contents import is_address, is_date, is_email, is_phone
from outreach.intake.sheets import Sheet, SheetRow, Value, as_text
from outreach.intake.vocabulary import fold, words_of

LOOKED_AT = 40
_LABELLED = re.compile(r":\s*\S")  # 'Location: Granary Hall' is a title
# 'Took: M/R/T' is a heading, where those beside it are headings without a value.
MOST_LABELLED = 0.25
LONGEST_HEADING = 240
_NOTE = re.compile(r"\*|\(.*\)$|(?:notes?|nb|nota|notas|p\.?s\.?)\s*[:.–-]", re.I)
_LEFT_OPEN = re.compile(r"_{3,}|:$|\.{4,}$")
FEWEST_KNOWN = 2
MOST_TOTALS = 4  # cells of a row such as '15 people' and '12 bins'


def heading_row_of(
    sheet: Sheet, is_known: Callable[[SheetRow], bool] = lambda _row: False
) -> SheetRow | None:
    """The row that heads the table, below its title rows; none where the table has no headings.

    A row of which `is_known` says that a person once accepted it as headings goes before what looks like them.
    """
    best, best_known = None, 0
    for row in sheet.rows[:LOOKED_AT]:
        if is_known(row):
            return row
        known = known_headings(row)
        if known > best_known:
            best, best_known = row, known
    return best


def known_headings(row: SheetRow) -> int:
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
    texts = [fold(as_text(cell)) for cell in row.filled]
    if any(map(_total_pattern().match, texts)):
        return not any(_is_somebodys(cell) for cell in row.filled)
    return bool(texts) and len(texts) <= MOST_TOTALS and all(map(_counts_pattern().fullmatch, texts))


def is_note(row: SheetRow) -> bool:
    """A remark across the page, marked as one: '* bring more', 'NOTE: rain', '(see other side)', 'Signed: ____'."""
    if len(row.filled) != 1 or _is_somebodys(row.filled[0]):
        return False
    text = as_text(row.filled[0])
    return bool(_NOTE.match(text) or _LEFT_OPEN.search(text))


def _is_somebodys(cell: Value) -> bool:
    return is_address(cell) or is_email(cell)


@cache
def _total_pattern() -> re.Pattern[str]:
    starts = sorted(words_of("totals", "starts"), key=len, reverse=True)
    return re.compile(rf"(?:{'|'.join(map(re.escape, starts))})(?: |$)")


@cache
def _counts_pattern() -> re.Pattern[str]:
    """'15 people, 12 bins', 'bins: 12', '15 people and 12 bins given out'."""
    things = "|".join(sorted(map(re.escape, words_of("totals", "things")), key=len, reverse=True))
    ends = "|".join(sorted(map(re.escape, words_of("totals", "ends")), key=len, reverse=True))
    one = rf"(?:\d+ (?:{things})|(?:{things}) \d+)(?: (?:{ends}))*"
    return re.compile(rf"{one}(?: (?:and |y )?{one})*")


def repeats(row: SheetRow, heading: Sequence[str]) -> bool:
    """The headings again, each in its column, as at the top of a second page; a few in other words."""
    here = {index: as_text(cell) for index, cell in enumerate(row.cells) if as_text(cell)}
    above = {index: text for index, text in enumerate(heading) if text}
    same = [index for index, text in here.items() if fold(text) == fold(above.get(index, ""))]
    alike = [index for index, text in here.items() if _says_as_much(text, above.get(index, ""))]
    if len(here) < FEWEST_KNOWN or not same or len(alike) < len(here):
        return False
    return len(same) == len(here) or len(here) > len(above) / 2


def _says_as_much(text: str, heading: str) -> bool:
    return fold(text) == fold(heading) or (
        bool(says_of_heading(text)) and (says_of_heading(text) == says_of_heading(heading))
    )
