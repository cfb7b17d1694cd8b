"""The sign-in sheet of a workshop, in large type and both languages: who is expected, and lines for walk-ins.

Each row has a code: that of an expected person finds the place on the list when it is typed or read in, that of a
blank line makes the same walk-in sent twice one.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import BinaryIO

from django.conf import settings
from django.utils import translation
from django.utils.translation import gettext as _
from reportlab.lib.pagesizes import landscape, letter
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import inch
from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.platypus import Flowable, PageBreak, Spacer

from outreach.post import paper
from outreach.post.paper_tables import Box, ruled
from outreach.staff.faces import BOLD
from outreach.workshops import row_codes, sayings
from outreach.workshops.models import Registration, WaiverText, Workshop
from outreach.workshops.papers.both_languages import beside, in_each

LARGE = ParagraphStyle("sheet name", parent=paper.TEXT, fontName=BOLD, fontSize=14, leading=17, spaceAfter=0)
CODE = ParagraphStyle("sheet code", parent=paper.TEXT, fontSize=14, leading=17, spaceAfter=0)
LINE = ParagraphStyle("line code", parent=CODE, fontSize=11, leading=13)
SMALLER = ParagraphStyle("sheet name, smaller", parent=LARGE, fontSize=11, leading=14)
TWO_LINES = ParagraphStyle("sheet name on two lines", parent=LARGE, fontSize=9, leading=10.5)
ROW = 0.56 * inch
EXPECTED = [1.0 * inch, 3.8 * inch, 0.75 * inch, 0.75 * inch, 2.2 * inch, 1.0 * inch]
WALK_IN = [1.05 * inch, 2.1 * inch, 2.35 * inch, 1.7 * inch, 1.4 * inch, 0.9 * inch]
BLANK_LINES = 11
BOX = 16


def write(
    workshop: Workshop,
    registrations: Sequence[Registration],
    waiver: Mapping[str, WaiverText],
    target: BinaryIO,
) -> None:
    """Write the sheet; the waiver that people sign for is its last page."""
    story = list(_story(workshop, registrations, waiver))
    paper.build(target, story, title=str(workshop), language="en", size=landscape(letter))


def _story(
    workshop: Workshop, registrations: Sequence[Registration], waiver: Mapping[str, WaiverText]
) -> Iterator[Flowable]:
    yield from _head(workshop, waiver)
    standby = [one for one in registrations if one.state == Registration.State.STANDBY]
    if registrations:
        yield from _rows([one for one in registrations if one not in standby])
        if standby:
            yield paper.say(beside(lambda: _("Standby, in order: while places are left")), paper.HEADING)
        yield from _rows(standby)
        yield PageBreak()
        yield from _head(workshop, waiver)
    lines = [_blank(workshop, number) for number in range(1, BLANK_LINES + 1)]
    yield ruled(_walk_in_headings(), lines, widths=WALK_IN, row_height=ROW * 0.85)
    if waiver:
        yield PageBreak()
        yield from waiver_story(waiver)


def _rows(registrations: Sequence[Registration]) -> Iterator[Flowable]:
    if registrations:
        yield ruled(_headings(), [_row(one) for one in registrations], widths=EXPECTED, row_height=ROW)


def _head(workshop: Workshop, waiver: Mapping[str, WaiverText]) -> Iterator[Flowable]:
    yield paper.say(beside(lambda: sayings.title(workshop)), paper.TITLE)
    when = [sayings.address(workshop), *in_each(lambda: sayings.day(workshop.held_on))]
    yield paper.say(" · ".join(when), paper.CLOSE)
    for words in in_each(lambda: _signing(waiver)):
        yield paper.say(words, paper.CLOSE)
    yield Spacer(1, 6)


def _signing(waiver: Mapping[str, WaiverText]) -> str:
    if not waiver:
        return _("Please find your name and tick that you are here.")
    version = next(iter(waiver.values())).version
    return _(
        "Please find your name. Your signature says that you accept the waiver, version %(version)d."
    ) % {"version": version}


def _headings() -> list[str]:
    return [
        _heading(lambda: _("Code")),
        _heading(lambda: _("Name and address")),
        _heading(lambda: _("People")),
        _heading(lambda: _("Here")),
        _heading(lambda: _("Signature")),
        _heading(lambda: _("Bin")),
    ]


def _walk_in_headings() -> list[str]:
    return [
        _heading(lambda: _("Code")),
        _heading(lambda: _("Name")),
        _heading(lambda: _("Street address, unit, city, ZIP")),
        _heading(lambda: _("E-mail or phone")),
        _heading(lambda: _("Signature")),
        _heading(lambda: _("Bin")),
    ]


def _heading(words: Callable[[], str]) -> str:
    return beside(words, between="\n")


def _row(one: Registration) -> list[str | Flowable]:
    return [
        paper.say(row_codes.code_of(one.pk), CODE),
        _who(one),
        paper.say(one.people, CODE),
        Box(BOX, is_ticked=one.came),
        "",
        Box(BOX),
    ]


def _blank(workshop: Workshop, number: int) -> list[str | Flowable]:
    code = row_codes.line_code(row_codes.Line(workshop.pk, number))
    return [paper.say(code, LINE), "", "", "", "", Box(BOX)]


def _who(one: Registration) -> Flowable:
    waits = one.state == Registration.State.STANDBY
    name = f"{one.standby_place}. {one.participant.full_name}" if waits else one.participant.full_name
    name = _fitting(name, EXPECTED[1] - 8)
    place = paper.say(shortened(str(one.household), 62), paper.SMALL)
    return Stacked([name, place], EXPECTED[1] - 8)


def _fitting(name: str, width: float) -> Flowable:
    """The name whole: as large as it fits on a line, else on two in small type; only one beyond that is cut."""
    for style in (LARGE, SMALLER):
        if stringWidth(name, BOLD, style.fontSize) <= width:
            return paper.say(name, style)
    while len(name) > 1 and stringWidth(name, BOLD, TWO_LINES.fontSize) > 1.8 * width:
        name = shortened(name, len(name) - 1)
    return paper.say(name, TWO_LINES)


def shortened(words: str, most: int) -> str:
    return words if len(words) <= most else words[: most - 1].rstrip() + "…"


class Stacked(Flowable):
    """Lines one under the other in one cell."""

    def __init__(self, lines: Sequence[Flowable], width: float) -> None:
        super().__init__()
        self.lines, self.width = lines, width
        self.heights = [line.wrap(width, 1000)[1] for line in lines]
        self.height = sum(self.heights)

    def draw(self) -> None:
        top = self.height
        for line, height in zip(self.lines, self.heights, strict=True):
            top -= height
            line.drawOn(self.canv, 0, top)


def write_waiver(waiver: Mapping[str, WaiverText], target: BinaryIO) -> None:
    """Write the waiver alone, each language on a page of its own."""
    paper.build(target, list(waiver_story(waiver, apart=True)), title=_("Waiver"), language="en")


def waiver_story(waiver: Mapping[str, WaiverText], *, apart: bool = False) -> Iterator[Flowable]:
    """The text in force in each language, with its version."""
    names = dict(settings.LANGUAGES)
    for number, text in enumerate(waiver.values()):
        if number and apart:
            yield PageBreak()
        with translation.override(text.language):
            yield paper.say(f"{names[text.language]}: {_('version')} {text.version}", paper.HEADING)
        yield paper.say(text.body)
