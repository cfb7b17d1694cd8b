"""What is drawn on the sheet: a bin, the strip of a year, a code for a phone."""

from datetime import date

from django.utils.formats import date_format
from django.utils.translation import gettext as _
from reportlab.lib.colors import HexColor, white
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable

from outreach.coaching import bin_figures
from outreach.coaching.bin_figures import Shape
from outreach.coaching.families import Family
from outreach.coaching.filling_year import Doing, FillingYear, Stretch
from outreach.coaching.sheet import DOING
from outreach.post import paper
from outreach.staff.faces import BOLD, PLAIN

HATCH_STEP = 5.0


class BinFigure(Flowable):
    """The drawing of a family, so wide."""

    def __init__(self, family: Family, width: float) -> None:
        super().__init__()
        self.family, self.scale = family, width / bin_figures.WIDTH
        self.width, self.height = width, bin_figures.HEIGHT * self.scale

    def draw(self) -> None:
        canvas = self.canv
        canvas.scale(self.scale, -self.scale)
        canvas.translate(0, -bin_figures.HEIGHT)
        canvas.setLineJoin(1)
        for shape in bin_figures.figure_of(self.family):
            _draw_shape(canvas, shape)


def _draw_shape(canvas: Canvas, shape: Shape) -> None:
    path = canvas.beginPath()
    path.moveTo(*shape.points[0])
    for point in shape.points[1:]:
        path.lineTo(*point)
    if shape.is_closed:
        path.close()
    if shape.fill:
        canvas.setFillColor(HexColor(shape.fill))
    if shape.ink:
        canvas.setStrokeColor(HexColor(shape.ink))
        canvas.setLineWidth(shape.thick)
    canvas.drawPath(path, fill=int(bool(shape.fill)), stroke=int(bool(shape.ink)))


class YearStrip(Flowable):
    """Twelve months, a row for each bin; filling is hatched, resting is blank, harvest is solid."""

    LABEL, ROW, MONTHS = 74.0, 24.0, 12

    def __init__(self, year: FillingYear, width: float) -> None:
        super().__init__()
        self.year, self.width = year, width
        self.height = 34 + year.bins * (self.ROW + 4)

    def draw(self) -> None:
        self._months()
        for place in range(self.year.bins):
            self._row(place)
        self._legend()

    def _at(self, day: date) -> float:
        whole = (self.year.ends_on - self.year.begun_on).days
        return self.LABEL + (self.width - self.LABEL) * (day - self.year.begun_on).days / whole

    def _top(self) -> float:
        return float(self.height - 14)

    def _months(self) -> None:
        canvas, first = self.canv, self.year.begun_on
        canvas.setFont(PLAIN, 8.5)
        canvas.setFillColor(paper.INK)
        for number in range(1, self.MONTHS + 1):
            month = first.month + number - 1
            day = date(first.year + month // 12, month % 12 + 1, 1)
            if day >= self.year.ends_on:
                break
            at = self._at(day)
            canvas.setStrokeColor(paper.HAIRLINE)
            canvas.setLineWidth(0.6)
            canvas.line(at, 16, at, self._top() + 2)
            canvas.drawString(at + 2, self.height - 9, date_format(day, "M"))

    def _row(self, place: int) -> None:
        canvas, low = self.canv, self._top() - (place + 1) * (self.ROW + 4) + 4
        canvas.setFont(BOLD, 9.5)
        canvas.setFillColor(paper.INK)
        words = _("Your bin") if self.year.bins == 1 else _("Bin %(number)d") % {"number": place + 1}
        canvas.drawString(0, low + self.ROW / 2 - 3, words)
        canvas.setStrokeColor(paper.RULE)
        canvas.setLineWidth(0.6)
        canvas.rect(self.LABEL, low, self.width - self.LABEL, self.ROW, fill=0)
        for one in self.year.stretches:
            if one.place == place:
                self._stretch(one, low)

    def _stretch(self, one: Stretch, low: float) -> None:
        left, right = self._at(one.from_on), self._at(one.until_on)
        high = self.ROW / 2 if one.doing is Doing.HARVEST and self.year.bins == 1 else self.ROW
        box(self.canv, one.doing, (left, low, right - left, high))
        words = str(DOING[one.doing])
        if self.canv.stringWidth(words, PLAIN, 8.5) + 8 < right - left and one.doing is not Doing.HARVEST:
            self._label(words, (left + right) / 2, low)

    def _label(self, words: str, middle: float, low: float) -> None:
        canvas = self.canv
        wide = canvas.stringWidth(words, PLAIN, 8.5) + 6
        canvas.setFillColor(white)
        canvas.rect(middle - wide / 2, low + self.ROW / 2 - 6, wide, 12, stroke=0, fill=1)
        canvas.setFillColor(paper.INK)
        canvas.setFont(PLAIN, 8.5)
        canvas.drawCentredString(middle, low + self.ROW / 2 - 3, words)

    def _legend(self) -> None:
        canvas, at = self.canv, self.LABEL
        for doing in Doing:
            box(canvas, doing, (at, 1, 16, 9))
            canvas.setFont(PLAIN, 8.5)
            canvas.setFillColor(paper.INK)
            canvas.drawString(at + 20, 2.5, str(DOING[doing]))
            at += 40 + canvas.stringWidth(str(DOING[doing]), PLAIN, 8.5)


def box(canvas: Canvas, doing: Doing, at: tuple[float, float, float, float]) -> None:
    """A box of what a bin is at: told apart by pattern, not by colour."""
    left, low, wide, high = at
    canvas.saveState()
    path = canvas.beginPath()
    path.rect(left, low, wide, high)
    canvas.clipPath(path, stroke=0)
    canvas.setFillColor({Doing.FILLING: paper.SHADE, Doing.RESTING: white, Doing.HARVEST: paper.INK}[doing])
    canvas.rect(left, low, wide, high, stroke=0, fill=1)
    if doing is Doing.FILLING:
        canvas.setStrokeColor(paper.RULE)
        canvas.setLineWidth(0.7)
        start = left - high
        while start < left + wide:
            canvas.line(start, low, start + high, low + high)
            start += HATCH_STEP
    canvas.restoreState()
    canvas.setStrokeColor(paper.INK)
    canvas.setLineWidth(0.8)
    canvas.rect(left, low, wide, high, fill=0)
