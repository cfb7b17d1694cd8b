"""Where each mark of a chart goes. Units are points; y grows downwards from the top."""

from collections.abc import Callable, Iterator

from django.utils.translation import gettext as _

from outreach.filings.charts.falls import falls
from outreach.filings.charts.marks import (
    BAR_ROW,
    BAR_THICK,
    LETTER,
    UPRIGHT_HEIGHT,
    WIDTH,
    Layout,
    Mark,
    Rectangle,
    Stroke,
    Words,
    extent,
    interval,
    zero_beside,
)
from outreach.filings.charts.pairs import pairs
from outreach.filings.report import Bar, Chart

CURVE_MARGIN = 44.0


def lay_out(chart: Chart) -> Layout:
    """Lay a chart out on a fixed width; the height of lying bars follows from their number."""
    tall = BAR_ROW * max(1, len(chart.bars)) + 8 if chart.shape in LYING else UPRIGHT_HEIGHT + 36
    return Layout(width=WIDTH, height=tall, marks=tuple(SHAPES[chart.shape](chart)))


def _lying(chart: Chart) -> Iterator[Mark]:
    low, high = extent(chart.bars)
    room = max((len(_value(bar, chart.unit)) for bar in chart.bars), default=0) * LETTER + 12
    scale = (WIDTH - room) / (high - low)
    zero = -low * scale
    for number, bar in enumerate(chart.bars):
        top = number * BAR_ROW
        middle = top + 18 + BAR_THICK / 2
        end = zero + bar.value * scale
        yield Words(0, top + 12, bar.label)
        yield Rectangle(min(zero, end), top + 18, max(abs(end - zero), 0.5), BAR_THICK)
        furthest = max(end, zero)
        if bar.lower is not None and bar.upper is not None:
            left, right = zero + bar.lower * scale, zero + bar.upper * scale
            yield from interval(left, middle, right, middle)
            furthest = max(furthest, right)
        yield Words(furthest + 8, middle + 4, _value(bar, chart.unit), role="value")
        yield zero_beside(zero, top)


def _value(bar: Bar, unit: str) -> str:
    return f"{bar.printed} {unit}"


def _upright(chart: Chart) -> Iterator[Mark]:
    low, high = extent(chart.bars)
    scale = (UPRIGHT_HEIGHT - 20) / (high - low)
    ground = UPRIGHT_HEIGHT + low * scale
    step = WIDTH / max(1, len(chart.bars))
    for number, bar in enumerate(chart.bars):
        middle = (number + 0.5) * step
        tall = bar.value * scale
        yield Rectangle(middle - step * 0.32, ground - max(tall, 0), step * 0.64, max(abs(tall), 0.5))
        yield Words(middle, ground - max(tall, 0) - 5, bar.printed, "middle", "value")
        year, _, quarter = bar.label.partition("-")
        yield Words(middle, UPRIGHT_HEIGHT + 14, quarter or bar.label, "middle")
        if quarter and (number == 0 or quarter == "Q1"):
            yield Words(middle, UPRIGHT_HEIGHT + 28, year, "middle")
    yield Stroke(0, ground, WIDTH, ground, "rule")


def _curve(chart: Chart) -> Iterator[Mark]:
    """Months to the right, share upwards; each bar is a step at the month its label names."""
    months = [float(bar.label) for bar in chart.bars]
    scale = (WIDTH - 2 * CURVE_MARGIN) / max([*months, 1.0])
    tall = UPRIGHT_HEIGHT - 20
    for share in (0.0, 0.5, 1.0):
        y = UPRIGHT_HEIGHT - share * tall
        yield Stroke(CURVE_MARGIN, y, WIDTH - CURVE_MARGIN, y, "rule")
        yield Words(CURVE_MARGIN - 6, y + 4, f"{share:.0%}".replace("%", " %"), "end")
    for role, name in (("limit", "lower"), ("limit", "upper"), ("curve", "value")):
        yield from _steps([getattr(bar, name) for bar in chart.bars], months, scale, tall, role)
    for month in range(0, int(max([*months, 0])) + 1, 6):
        yield Words(CURVE_MARGIN + month * scale, UPRIGHT_HEIGHT + 14, str(month), "middle")
    yield Words(WIDTH - CURVE_MARGIN, UPRIGHT_HEIGHT + 30, _("months since the first handout"), "end")


def _steps(
    shares: list[float | None], months: list[float], scale: float, tall: float, role: str
) -> Iterator[Mark]:
    x, y = CURVE_MARGIN, UPRIGHT_HEIGHT - tall
    for share, month in zip(shares, months, strict=True):
        if share is None:
            continue
        to_x, to_y = CURVE_MARGIN + month * scale, UPRIGHT_HEIGHT - share * tall
        yield Stroke(x, y, to_x, y, role)
        yield Stroke(to_x, y, to_x, to_y, role)
        x, y = to_x, to_y


SHAPES: dict[str, Callable[[Chart], Iterator[Mark]]] = {
    "bars": _lying,
    "columns": _upright,
    "pairs": pairs,
    "falls": falls,
    "curve": _curve,
}
LYING = ("bars", "falls")
