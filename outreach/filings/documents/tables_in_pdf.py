"""A report's table as a PDF table: fixed column widths, plain strings where they fit, wrapped where not."""

from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.platypus import Flowable, LongTable, Paragraph

from outreach.filings.documents import styles
from outreach.filings.report import Cell, Column, Number, Table
from outreach.staff.faces import BOLD, PLAIN

SIZE = 8.0
PADDING = 3.0
SAMPLED_ROWS = 400
NARROWEST = 11 * mm
WIDEST_WORDS = 62 * mm
WIDEST_HEADING = 26 * mm
# Addresses of sources are longer than any word and may break.
WIDEST_WORD = 46 * mm


def table_flowable(table: Table, *, width: float) -> Flowable:
    """Lay the table out on that width; its heading repeats on every page."""
    widths = column_widths(table, width=width)
    body = styles.cell_style(SIZE)
    rows = [_heading(table)]
    rows += [_row(row, widths, body) for row in table.rows]
    if table.total:
        rows.append(_row(table.total, widths, body))
    flowable = LongTable(rows, colWidths=widths, repeatRows=1, hAlign="LEFT")
    flowable.setStyle(styles.table_style(_number_columns(table), has_total=bool(table.total), size=SIZE))
    return flowable


def _number_columns(table: Table) -> list[int]:
    return [index for index, column in enumerate(table.columns) if column.is_number]


def column_widths(table: Table, *, width: float) -> list[float]:
    """Columns as wide as their longest cell, the wordy ones shrunk until the table fits.

    A column is shrunk no further than its longest word, so that none breaks inside; only where the words
    themselves do not fit beside each other are they broken.
    """
    wanted = [_wanted(table, index) for index in range(len(table.columns))]
    wordy = [index for index, column in enumerate(table.columns) if not column.is_number]
    for floor in (_longest_word, _narrowest):
        floors = {index: min(wanted[index], floor(table, index)) for index in wordy}
        wanted = _shrunk(wanted, floors, by=sum(wanted) - width)
    return [one * min(1.0, width / sum(wanted)) for one in wanted]


def _shrunk(wanted: list[float], floors: dict[int, float], *, by: float) -> list[float]:
    """Take `by` from the columns that have room above their floors, from each its part."""
    room = sum(wanted[index] - floor for index, floor in floors.items())
    share = min(1.0, max(by, 0.0) / room) if room else 0.0
    return [one - share * (one - floors.get(index, one)) for index, one in enumerate(wanted)]


def _longest_word(table: Table, index: int) -> float:
    longest = max(
        (stringWidth(word, face, SIZE) for cell, face in _sampled(table, index) for word in cell.split()),
        default=0.0,
    )
    return max(min(longest, WIDEST_WORD), _heading_width(table.columns[index])) + 2 * PADDING + 1


def _narrowest(_table: Table, _index: int) -> float:
    return NARROWEST


def _sampled(table: Table, index: int) -> list[tuple[str, str]]:
    """The words of a column's cells with the face they are set in."""
    cells = [(_printed(row[index]), PLAIN) for row in table.rows[:SAMPLED_ROWS]]
    return [*cells, (_printed(table.total[index]), BOLD)] if table.total else cells


def _wanted(table: Table, index: int) -> float:
    column = table.columns[index]
    longest = max((stringWidth(one, face, SIZE) for one, face in _sampled(table, index)), default=0.0)
    # Numbers never wrap, so their column takes what the longest needs; words may.
    most = longest if column.is_number else min(longest, WIDEST_WORDS)
    return max(most, _heading_width(column), NARROWEST - 2 * PADDING) + 2 * PADDING + 1


def _heading_width(column: Column) -> float:
    """Room for the heading's longest word, and for the whole of it in two lines where that is not wide."""
    words = column.heading.split() + column.unit.split()
    whole = stringWidth(" ".join(words), BOLD, SIZE)
    return max(
        *(stringWidth(word, BOLD, SIZE) + 2 for word in (*words, "")), min(whole * 0.6, WIDEST_HEADING)
    )


def _heading(table: Table) -> list[Paragraph]:
    left, right = styles.heading_styles(SIZE)
    return [
        Paragraph(
            styles.markup(f"{column.heading}, {column.unit}" if column.unit else column.heading),
            right if column.is_number else left,
        )
        for column in table.columns
    ]


def _row(cells: tuple[Cell, ...], widths: list[float], body: ParagraphStyle) -> list[str | Paragraph]:
    return [_fitted(_printed(cell), wide, body) for cell, wide in zip(cells, widths, strict=True)]


def _fitted(words: str, wide: float, body: ParagraphStyle) -> str | Paragraph:
    if stringWidth(words, PLAIN, SIZE) <= wide - 2 * PADDING:
        return words
    return Paragraph(styles.markup(words), body)


def _printed(cell: Cell) -> str:
    return cell.printed if isinstance(cell, Number) else cell
