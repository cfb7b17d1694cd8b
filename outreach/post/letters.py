"""Messages as letters: each from a page of its own, the address where a window envelope shows it."""

import re
from collections.abc import Callable, Iterator, Sequence
from datetime import date
from typing import BinaryIO
from xml.sax.saxutils import escape

from django.utils import translation
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from reportlab.graphics.barcode.qr import QrCodeWidget
from reportlab.graphics.shapes import Drawing
from reportlab.lib.colors import HexColor
from reportlab.lib.pagesizes import letter
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import inch
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import (
    BaseDocTemplate,
    Flowable,
    Frame,
    KeepTogether,
    NextPageTemplate,
    PageBreak,
    PageTemplate,
    Paragraph,
)

from outreach.post import window_envelope
from outreach.post.models import Message
from outreach.staff.faces import BOLD, PLAIN, register_faces

INK = HexColor("#1F1A14")
TEXT = ParagraphStyle("letter", fontName=PLAIN, fontSize=12, leading=17, textColor=INK, spaceAfter=10)
HEAD = ParagraphStyle("letter head", parent=TEXT, fontName=BOLD, fontSize=14, leading=18, spaceAfter=12)
MARGIN, DATE_TOP, BODY_TOP = 1 * inch, 1.2 * inch, window_envelope.FIRST_FREE + 0.25 * inch
QR_SIZE = 1.3 * inch
LINK = re.compile(r"https?://\S+[^\s.,;:!?)]")

Draw = Callable[[Canvas, BaseDocTemplate], None]


def write_letters(messages: Sequence[Message], target: BinaryIO, *, on: date) -> None:
    """Write at least one letter into one PDF; a long one goes on over the page."""
    register_faces()
    width, height = letter
    document = BaseDocTemplate(target, pagesize=letter, title="Letters", author="Loambook")
    later = Frame(MARGIN, MARGIN, width - 2 * MARGIN, height - 2 * MARGIN, leftPadding=0)
    first = Frame(MARGIN, MARGIN, width - 2 * MARGIN, height - BODY_TOP - MARGIN, leftPadding=0)
    story: list[Flowable] = []
    for message in messages:
        name = f"letter {message.pk}"
        template = PageTemplate(
            id=name, frames=[first], onPage=_head(message, on), autoNextPageTemplate="later"
        )
        document.addPageTemplates(template)
        story += [*([NextPageTemplate(name), PageBreak()] if story else []), *_body(message)]
    document.addPageTemplates(PageTemplate(id="later", frames=[later]))
    document.build(story)


def _head(message: Message, on: date) -> Draw:
    def draw(canvas: Canvas, _document: BaseDocTemplate) -> None:
        width, height = canvas._pagesize
        canvas.saveState()
        canvas.setFillColor(INK)
        window_envelope.draw_address(canvas, [message.recipient_name, *message.postal_lines])
        with translation.override(message.language):
            canvas.setFont(PLAIN, 11)
            canvas.drawRightString(width - MARGIN, height - DATE_TOP, date_format(on, "DATE_FORMAT"))
        canvas.restoreState()

    return draw


def _body(message: Message) -> Iterator[Flowable]:
    yield Paragraph(escape(message.subject), HEAD)
    for part in message.body.split("\n\n"):
        yield Paragraph(escape(part).replace("\n", "<br/>"), TEXT)
    if links := LINK.findall(message.body):
        with translation.override(message.language):
            words = _("The same link, for the camera of a phone:")
        yield KeepTogether([Paragraph(escape(words), TEXT), _code(links[0])])


def _code(link: str) -> Drawing:
    widget = QrCodeWidget(link, barLevel="M", barBorder=4)
    left, bottom, right, top = widget.getBounds()
    scale = [QR_SIZE / (right - left), 0, 0, QR_SIZE / (top - bottom), 0, 0]
    drawing = Drawing(QR_SIZE, QR_SIZE, transform=scale)
    drawing.add(widget)
    return drawing
