"""US letter paper in our face, in ink and greys, so that any printer will do."""

from collections.abc import Callable, Sequence
from typing import Any, BinaryIO
from xml.sax.saxutils import escape

from reportlab.lib.colors import HexColor
from reportlab.lib.pagesizes import letter
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import inch
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import BaseDocTemplate, Flowable, Frame, PageTemplate, Paragraph

from outreach.staff.faces import BOLD, PLAIN, register_faces

INK, STONE, RULE, HAIRLINE, SHADE = (
    HexColor(code) for code in ("#1F1A14", "#5F564A", "#8C8271", "#D8D0BF", "#EFEAE0")
)
MARGIN = 0.75 * inch
TITLE = ParagraphStyle("paper title", fontName=BOLD, fontSize=20, leading=24, textColor=INK, spaceAfter=6)
HEADING = ParagraphStyle(
    "paper heading", fontName=BOLD, fontSize=12.5, leading=16, textColor=INK, spaceBefore=8, spaceAfter=2
)
TEXT = ParagraphStyle(
    "paper text", fontName=PLAIN, fontSize=11, leading=15, textColor=INK, spaceBefore=3, spaceAfter=6
)
STRONG = ParagraphStyle("paper strong", parent=TEXT, fontName=BOLD, spaceBefore=3, spaceAfter=0)
CLOSE = ParagraphStyle("paper close", parent=TEXT, spaceBefore=0, spaceAfter=1, leading=14)
ITEM = ParagraphStyle(
    "paper item",
    parent=TEXT,
    leftIndent=12,
    bulletIndent=0,
    spaceBefore=0,
    spaceAfter=2,
    bulletFontName=PLAIN,
)
SMALL = ParagraphStyle("paper small", fontName=PLAIN, fontSize=9, leading=12, textColor=STONE, spaceAfter=3)


def say(words: object, style: ParagraphStyle = TEXT) -> Paragraph:
    """A paragraph; nothing in the words is taken for markup."""
    register_faces()
    return Paragraph(escape(str(words)).replace("\n", "<br/>"), style)


def items(lines: Sequence[object], style: ParagraphStyle = ITEM) -> list[Paragraph]:
    """Lines with a bullet each."""
    register_faces()
    return [Paragraph(escape(str(line)), style, bulletText="•") for line in lines]


def build(
    target: BinaryIO,
    story: Sequence[Flowable],
    *,
    title: str,
    language: str,
    on_page: Callable[[Canvas, Any], None] | None = None,
    size: tuple[float, float] = letter,
) -> None:
    """Write paragraphs as pages of one frame."""
    register_faces()
    width, height = size
    frame = Frame(MARGIN, MARGIN, width - 2 * MARGIN, height - 2 * MARGIN, 0, 0, 0, 0, id="whole")
    document = BaseDocTemplate(target, pagesize=size, title=title, author="", lang=language)
    page = PageTemplate(id="page", frames=[frame], **({"onPage": on_page} if on_page else {}))
    document.addPageTemplates([page])
    document.build(list(story))
