"""A page for a window envelope: the address where it shows, the words, and a square code that leads to the form."""

from collections.abc import Callable, Sequence
from typing import BinaryIO

from django.utils import translation
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from reportlab.lib.pagesizes import letter
from reportlab.lib.units import inch
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import (
    BaseDocTemplate,
    Flowable,
    Frame,
    NextPageTemplate,
    PageBreak,
    PageTemplate,
    Spacer,
    Table,
)

from outreach.followup.postcards import Card
from outreach.post import paper, window_envelope
from outreach.post.qr import Code
from outreach.staff.faces import register_faces

CODE_SIDE = 2.2 * inch
WORDS_WIDTH = 4.5 * inch
BETWEEN = 0.25 * inch


def write(cards: Sequence[Card], target: BinaryIO) -> None:
    """Write one page for each card; at least one."""
    register_faces()
    width, height = letter
    spoken = {card.languages for card in cards}
    document = BaseDocTemplate(
        target,
        pagesize=letter,
        title="Postcards",
        author="",
        lang=next(iter(spoken))[0] if len(spoken) == 1 else "",
    )
    top = window_envelope.FIRST_FREE + 0.4 * inch
    story: list[Flowable] = []
    for card in cards:
        frame = Frame(
            paper.MARGIN, paper.MARGIN, width - 2 * paper.MARGIN, height - top - paper.MARGIN, 0, 0, 0, 0
        )
        name = f"card {card.invitation.pk}"
        document.addPageTemplates(PageTemplate(id=name, frames=[frame], onPage=_address_of(card)))
        story += [*([NextPageTemplate(name), PageBreak()] if story else []), _page(card)]
    document.build(story)


def _address_of(card: Card) -> Callable[[Canvas, BaseDocTemplate], None]:
    def draw(canvas: Canvas, _document: BaseDocTemplate) -> None:
        canvas.saveState()
        canvas.setFillColor(paper.INK)
        window_envelope.draw_address(canvas, [card.to.name, *card.to.postal_lines])
        canvas.restoreState()

    return draw


def _page(card: Card) -> Table:
    """The words, in each language of the card, beside the code."""
    words: list[Flowable] = []
    for code in card.languages:
        with translation.override(code):
            words += [*([Spacer(0, BETWEEN)] if words else []), *_words(card)]
    beside = Table([[words, Code(card.link, CODE_SIDE)]], colWidths=[WORDS_WIDTH, CODE_SIDE + 0.2 * inch])
    beside.setStyle([("VALIGN", (0, 0), (-1, -1), "TOP"), ("LEFTPADDING", (0, 0), (-1, -1), 0)])
    return beside


def _words(card: Card) -> list[Flowable]:
    until = date_format(card.until, "DATE_FORMAT")
    return [
        paper.say(_("How is your compost bin doing?"), paper.TITLE),
        paper.say(
            _("Please tell us how it goes. It takes a minute, and it helps just as much if you have stopped.")
        ),
        paper.say(
            _(
                "Point the camera of your phone at the square and open the page. It is for your household alone."
            )
        ),
        paper.say(_("It can be answered until %(until)s.") % {"until": until}, paper.STRONG),
        paper.say(
            _("If you do not want to be asked any more, say so on that page or tell the office."), paper.SMALL
        ),
    ]
