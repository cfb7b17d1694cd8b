"""A flyer of a workshop in both languages: what, when, where, and a code that leads to signing up.

The code carries the mark of where the flyer hangs, so that the office learns which flyers bring people.
"""

from collections.abc import Iterator
from typing import BinaryIO

from django.conf import settings
from django.urls import reverse
from django.utils import translation
from django.utils.http import urlencode
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from reportlab.lib.pagesizes import letter
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import inch
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable, KeepInFrame

from outreach.post import links, paper
from outreach.post.qr import Code
from outreach.staff.faces import BOLD, register_faces
from outreach.workshops import sayings
from outreach.workshops.models import Workshop

WIDTH, HEIGHT = letter
EDGE = 0.8 * inch
CODE = 2.1 * inch
BIG = ParagraphStyle("flyer title", parent=paper.TITLE, fontSize=30, leading=34, spaceAfter=8)
WHEN = ParagraphStyle("flyer when", parent=paper.TEXT, fontName=BOLD, fontSize=17, leading=22, spaceAfter=2)
WORDS = ParagraphStyle("flyer words", parent=paper.TEXT, fontSize=13, leading=18)


def address(workshop: Workshop, *, mark: str = "", language: str = "") -> str:
    """Where the code of a flyer leads: the workshop's public page, with the flyer's mark."""
    given = {name: value for name, value in (("from", mark), ("language", language)) if value}
    query = f"?{urlencode(given)}" if given else ""
    return links.public_url(reverse("public_workshop", args=[workshop.pk])) + query


def write(workshop: Workshop, target: BinaryIO, *, mark: str = "") -> None:
    """Write one page: a half for each language."""
    register_faces()
    canvas = Canvas(target, pagesize=letter)
    canvas.setTitle(str(workshop))
    half = (HEIGHT - 2 * EDGE) / len(settings.LANGUAGES)
    for number, (code, _name) in enumerate(settings.LANGUAGES):
        top = HEIGHT - EDGE - number * half
        if number:
            canvas.setStrokeColor(paper.RULE)
            canvas.line(EDGE, top + 0.1 * inch, WIDTH - EDGE, top + 0.1 * inch)
        with translation.override(code):
            _half(canvas, workshop, top, half - 0.3 * inch, address(workshop, mark=mark, language=code))
    canvas.save()


def _half(canvas: Canvas, workshop: Workshop, top: float, high: float, url: str) -> None:
    room = WIDTH - 2 * EDGE - CODE - 0.3 * inch
    words = KeepInFrame(room, high, list(_words(workshop)), mode="shrink")
    _width, used = words.wrapOn(canvas, room, high)
    words.drawOn(canvas, EDGE, top - used)
    left, low = WIDTH - EDGE - CODE, top - CODE - 0.5 * inch
    Code(url, CODE).drawOn(canvas, left, low)
    below = KeepInFrame(CODE, 1.3 * inch, _under_the_code(url), mode="shrink")
    _width, used = below.wrapOn(canvas, CODE, 1.3 * inch)
    below.drawOn(canvas, left, low - used)


def _words(workshop: Workshop) -> Iterator[Flowable]:
    yield paper.say(sayings.title(workshop), BIG)
    yield paper.say(sayings.day(workshop.held_on), WHEN)
    if hours := sayings.hours(workshop):
        yield paper.say(hours, WHEN)
    yield paper.say(sayings.address(workshop), WORDS)
    yield paper.say(capfirst(sayings.language(workshop.language)) + ".", WORDS)
    for line in (sayings.bring(workshop), sayings.accessibility(workshop)):
        if line:
            yield paper.say(line, WORDS)


def _under_the_code(url: str) -> list[Flowable]:
    plain = url.partition("?")[0]
    return [
        paper.say(_("Sign up: point the camera of a phone here, or go to"), paper.CLOSE),
        paper.say(plain, paper.SMALL),
    ]
