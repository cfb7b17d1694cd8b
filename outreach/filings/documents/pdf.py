"""The report as a PDF on US letter paper; sections with wide tables lie on their side."""

from collections.abc import Iterator
from typing import BinaryIO

from reportlab.lib.pagesizes import landscape, letter
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import (
    BaseDocTemplate,
    CondPageBreak,
    Flowable,
    Frame,
    KeepTogether,
    NextPageTemplate,
    PageBreak,
    PageTemplate,
    Paragraph,
    Spacer,
)
from reportlab.platypus import (
    Table as Grid,
)

from outreach.filings.charts import drawing_of
from outreach.filings.documents import styles
from outreach.filings.documents.tables_in_pdf import table_flowable
from outreach.filings.report import Report, Section
from outreach.staff.faces import BOLD, PLAIN, register_faces

MARGIN = 18 * mm
FOOT = 12 * mm
MOST_COLUMNS_UPRIGHT = 8
UPRIGHT, LYING = "upright", "lying"
CHART_WIDTH = 150 * mm


def write_pdf(report: Report, target: BinaryIO) -> None:
    """Write the whole report."""
    register_faces()
    document = BaseDocTemplate(
        target,
        pagesize=letter,
        title=report.title,
        author="Loambook",
        subject=report.subtitle,
        lang="en-US",
        pageTemplates=[_template(UPRIGHT, letter, report), _template(LYING, landscape(letter), report)],
    )
    document.build(list(_story(report)))


def _template(name: str, size: tuple[float, float], report: Report) -> PageTemplate:
    width, height = size
    frame = Frame(MARGIN, MARGIN, width - 2 * MARGIN, height - 2 * MARGIN, 0, 0, 0, 0, id=name)

    def foot(canvas: Canvas, document: BaseDocTemplate) -> None:
        canvas.saveState()
        canvas.setFont(PLAIN, 8)
        canvas.setFillColor(styles.STONE)
        canvas.drawString(MARGIN, FOOT, report.title)
        canvas.drawRightString(width - MARGIN, FOOT, f"page {document.page}")
        canvas.restoreState()

    return PageTemplate(id=name, frames=[frame], onPage=foot, pagesize=size)


def _story(report: Report) -> Iterator[Flowable]:
    yield Paragraph(styles.markup(report.title), styles.TITLE)
    yield Paragraph(styles.markup(report.subtitle), styles.SUBTITLE)
    yield Paragraph(styles.markup(report.summary), styles.LEAD)
    if report.headlines:
        yield _headlines(report)
    facing = UPRIGHT
    for section in report.sections:
        wanted = _facing(section)
        if wanted != facing:
            yield NextPageTemplate(wanted)
            yield PageBreak()
            facing = wanted
        yield from _section(section, facing)
    yield Spacer(0, 8)
    for line in report.made_from:
        yield Paragraph(styles.markup(line), styles.NOTE)


def _facing(section: Section) -> str:
    wide = any(len(table.columns) > MOST_COLUMNS_UPRIGHT for table in section.tables)
    return LYING if wide else UPRIGHT


def _headlines(report: Report) -> Grid:
    cells = []
    for line in report.headlines:
        cells.append(
            [
                Paragraph(
                    f'{styles.markup(line.number.printed)} <font size="11">{styles.markup(line.unit)}</font>',
                    styles.BIG,
                ),
                Paragraph(styles.markup(line.interval), styles.UNDER),
                Paragraph(styles.markup(line.words), styles.UNDER),
            ]
        )
    width = (letter[0] - 2 * MARGIN) / len(cells)
    grid = Grid([cells], colWidths=[width] * len(cells), hAlign="LEFT")
    grid.setStyle([("VALIGN", (0, 0), (-1, -1), "TOP"), ("LINEABOVE", (0, 0), (-1, 0), 0.8, styles.RULE)])
    return grid


def _section(section: Section, facing: str) -> Iterator[Flowable]:
    size = letter if facing == UPRIGHT else landscape(letter)
    width = size[0] - 2 * MARGIN
    yield CondPageBreak(45 * mm)
    yield Paragraph(styles.markup(section.heading), styles.HEADING)
    for words in section.paragraphs:
        yield Paragraph(styles.markup(words), styles.TEXT)
    for chart in section.charts:
        yield KeepTogether(
            [
                Paragraph(styles.markup(chart.caption), styles.CAPTION),
                drawing_of(chart, face=PLAIN, bold_face=BOLD, width=min(width, CHART_WIDTH)),
            ]
        )
    for table in section.tables:
        yield CondPageBreak(30 * mm)
        yield Paragraph(styles.markup(table.caption), styles.CAPTION)
        if table.rows:
            yield table_flowable(table, width=width)
        if table.note:
            yield Paragraph(styles.markup(table.note), styles.NOTE)
