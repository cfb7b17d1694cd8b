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
    """Columns as wide as their longest cell, the wordy ones shrunk until the table fits."""
    wanted = [_wanted(table, index) for index in range(len(table.columns))]
    spare = width - sum(wanted)
    if spare >= 0:
        return wanted
    wordy = [index for index, column in enumerate(table.columns) if not column.is_number]
    room = sum(max(0.0, wanted[index] - NARROWEST) for index in wordy)
    if not room:
        return [one * width / sum(wanted) for one in wanted]
    share = min(1.0, -spare / room)
    for index in wordy:
        wanted[index] -= share * max(0.0, wanted[index] - NARROWEST)
    return [one * min(1.0, width / sum(wanted)) for one in wanted]


def _wanted(table: Table, index: int) -> float:
    column = table.columns[index]
    words = [_printed(row[index]) for row in table.rows[:SAMPLED_ROWS]]
    if table.total:
        words.append(_printed(table.total[index]))
    longest = max((stringWidth(one, PLAIN, SIZE) for one in words), default=0.0)
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
