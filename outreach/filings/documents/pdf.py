"""The report as a PDF on US letter paper; sections with wide tables lie on their side."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import BinaryIO

from django.utils.translation import gettext as _
from django.utils.translation import override
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


@dataclass(frozen=True, slots=True, kw_only=True)
class Edition:
    """In which language a document is made, and where the page of the same is."""

    language: str = "en"
    address: str = ""


PLAIN_EDITION = Edition()
DOCUMENT_LANGUAGES = {"en": "en-US", "es": "es-US"}


def write_pdf(report: Report, target: BinaryIO, edition: Edition = PLAIN_EDITION) -> None:
    """Write the whole report, whose words are in the language of the edition already."""
    with override(edition.language):
        _write(report, target, edition)


def _write(report: Report, target: BinaryIO, edition: Edition) -> None:
    register_faces()
    document = BaseDocTemplate(
        target,
        pagesize=letter,
        title=report.title,
        author="Loambook",
        subject=report.subtitle,
        lang=DOCUMENT_LANGUAGES[edition.language],
        pageTemplates=[_template(UPRIGHT, letter, report), _template(LYING, landscape(letter), report)],
    )
    document.build(list(_story(report, edition)))


def _template(name: str, size: tuple[float, float], report: Report) -> PageTemplate:
    width, height = size
    frame = Frame(MARGIN, MARGIN, width - 2 * MARGIN, height - 2 * MARGIN, 0, 0, 0, 0, id=name)

    def foot(canvas: Canvas, document: BaseDocTemplate) -> None:
        canvas.saveState()
        canvas.setFont(PLAIN, 8)
        canvas.setFillColor(styles.STONE)
        canvas.drawString(MARGIN, FOOT, report.title)
        canvas.drawRightString(width - MARGIN, FOOT, _("page %(number)d") % {"number": document.page})
        canvas.restoreState()

    return PageTemplate(id=name, frames=[frame], onPage=foot, pagesize=size)


def _story(report: Report, edition: Edition) -> Iterator[Flowable]:
    yield Paragraph(styles.markup(report.title), styles.TITLE)
    yield Paragraph(styles.markup(report.subtitle), styles.SUBTITLE)
    if report.summary:
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
    if edition.address:
        yield Paragraph(_page_in_words(edition.address), styles.NOTE)


def _page_in_words(address: str) -> str:
    """Where the page is that says the same to a screen reader, as a link."""
    safe = styles.markup(address)
    words = _(
        "The page that a screen reader can follow is at %(address)s (for those who sign in); this file has no tags."
    )
    return words % {"address": f'<link href="{safe}" color="#264D73">{safe}</link>'}


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
