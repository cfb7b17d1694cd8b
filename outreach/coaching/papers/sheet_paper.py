"""The resident's sheet as a PDF: two pages of US letter in ink and greys, for a refrigerator door."""

from collections.abc import Sequence
from typing import BinaryIO

from django.utils import translation
from django.utils.translation import gettext as _
from reportlab.lib.pagesizes import letter
from reportlab.lib.units import inch
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable, KeepInFrame

from outreach.coaching.papers.drawn import BinFigure, YearStrip
from outreach.coaching.sheet import Sheet
from outreach.post import paper
from outreach.post.qr import Code
from outreach.staff.faces import register_faces

WIDTH, HEIGHT = letter
EDGE = 0.6 * inch
GAP = 0.3 * inch
CODE = 1.15 * inch
HALF = (WIDTH - 2 * EDGE - GAP) / 2
TOP = HEIGHT - EDGE


def write(sheets: Sequence[tuple[str, Sheet]], target: BinaryIO) -> None:
    """Write sheets one after the other, two pages each, each in the language it was composed in."""
    register_faces()
    languages = {language for language, _sheet in sheets}
    canvas = Canvas(target, pagesize=letter, lang=languages.pop() if len(languages) == 1 else None)
    for number, (language, sheet) in enumerate(sheets):
        with translation.override(language):
            if not number:
                canvas.setTitle(_("Your compost bin"))
            _front(canvas, sheet)
            canvas.showPage()
            _back(canvas, sheet)
            canvas.showPage()
    canvas.save()


def _block(
    canvas: Canvas, flowables: list[Flowable], left: float, top: float, size: tuple[float, float]
) -> float:
    """Draw in a box, shrunk where that is needed to fit; the lower edge of what was drawn."""
    frame = KeepInFrame(*size, flowables, mode="shrink")
    _width, high = frame.wrapOn(canvas, *size)
    frame.drawOn(canvas, left, top - high)
    return top - high


def _section(heading: str, lines: Sequence[object], *, style: object = paper.ITEM) -> list[Flowable]:
    return [paper.say(heading, paper.HEADING), *paper.items(lines, style)]


def _front(canvas: Canvas, sheet: Sheet) -> None:
    whole = WIDTH - 2 * EDGE
    head: list[Flowable] = [paper.say(_("Your compost bin"), paper.TITLE)]
    head += [paper.say(line, paper.SMALL) for line in sheet.for_whom]
    head.append(paper.say(sheet.bin_words, paper.HEADING))
    under = _block(canvas, head, EDGE, TOP, (whole, 1.5 * inch)) - 0.15 * inch
    figure = BinFigure(sheet.family, 2.6 * inch)
    figure.drawOn(canvas, EDGE + (HALF - figure.width) / 2, under - figure.height)
    place = [*sheet.place, *sheet.rules]
    right = EDGE + HALF + GAP
    beside = _block(canvas, _section(_("Where to put it"), place), right, under, (HALF, 3.6 * inch))
    below = min(under - figure.height, beside) - 0.2 * inch
    canvas.setStrokeColor(paper.RULE)
    canvas.line(EDGE, below, WIDTH - EDGE, below)
    below -= 0.1 * inch
    recipe = [paper.say(_("The recipe"), paper.HEADING), *(paper.say(line) for line in sheet.recipe)]
    after = _block(canvas, recipe, EDGE, below, (whole, 1.1 * inch)) - 0.1 * inch
    room = (HALF, after - EDGE - 1.6 * inch)
    greens = _block(canvas, _section(_("Greens"), sheet.greens), EDGE, after, room)
    browns = _block(canvas, _section(_("Browns"), sheet.browns), right, after, room)
    steps = _section(_("How to fill it"), sheet.steps)
    _block(canvas, steps, EDGE, min(greens, browns) - 0.1 * inch, (whole, 1.5 * inch))


def _back(canvas: Canvas, sheet: Sheet) -> None:
    whole, right = WIDTH - 2 * EDGE, EDGE + HALF + GAP
    head = [paper.say(_("A year with it"), paper.HEADING)]
    under = _block(canvas, head, EDGE, TOP, (whole, 0.4 * inch))
    strip = YearStrip(sheet.year, whole)
    strip.drawOn(canvas, EDGE, under - strip.height)
    dates = [paper.say(" ".join(sheet.dates))]
    under = _block(canvas, dates, EDGE, under - strip.height - 4, (whole, 0.8 * inch)) - 0.1 * inch
    low = EDGE + CODE + 0.35 * inch
    room = (HALF, 0.66 * (under - low))
    left_out = _block(canvas, _section(_("What stays out"), sheet.left_out), EDGE, under, room)
    answers = [paper.say(_("If something is wrong"), paper.HEADING)]
    for name, short in sheet.answers:
        answers += [paper.say(name, paper.STRONG), paper.say(short, paper.CLOSE)]
    if sheet.call:
        answers.append(paper.say(_("Rats and flies: %(who)s") % {"who": sheet.call}, paper.STRONG))
    answered = _block(canvas, answers, right, under, room)
    under = min(left_out, answered) - 0.05 * inch
    _block(canvas, _section(_("Take care"), sheet.cautions), EDGE, under, (whole, under - low))
    _codes(canvas, sheet)


def _codes(canvas: Canvas, sheet: Sheet) -> None:
    side, low = CODE, EDGE
    canvas.setStrokeColor(paper.RULE)
    canvas.line(EDGE, low + side + 0.25 * inch, WIDTH - EDGE, low + side + 0.25 * inch)
    codes = (
        (EDGE, sheet.ask_url, _("Ask us for help"), _("Point the camera of a phone here.")),
        (EDGE + HALF + GAP, sheet.later_url, *sheet.later_words),
    )
    for left, url, heading, words in codes:
        Code(url, side).drawOn(canvas, left, low)
        beside = [paper.say(heading, paper.STRONG), paper.say(words, paper.SMALL)]
        if len(url) <= 60:
            beside.append(paper.say(url, paper.SMALL))
        _block(canvas, beside, left + side + 8, low + side, (HALF - side - 8, side))
