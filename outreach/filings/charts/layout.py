"""Where each mark of a chart goes. Units are points; y grows downwards from the top."""

from collections.abc import Iterator
from dataclasses import dataclass

from outreach.filings.report import Bar, Chart

WIDTH = 480.0
BAR_ROW = 42.0
BAR_THICK = 14.0
TEXT_SIZE = 10.5
LETTER = 0.56 * TEXT_SIZE
UPRIGHT_HEIGHT = 150.0
CAP = 4.0


@dataclass(frozen=True, slots=True)
class Rectangle:
    """A filled bar."""

    x: float
    y: float
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class Stroke:
    """A line: an axis ('rule'), an interval ('interval'), or the light edge that sets it off ('halo')."""

    x1: float
    y1: float
    x2: float
    y2: float
    role: str


@dataclass(frozen=True, slots=True)
class Words:
    """A text that starts, is centred or ends at x; y is its baseline."""

    x: float
    y: float
    text: str
    anchor: str = "start"
    role: str = "label"


Mark = Rectangle | Stroke | Words


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """A laid-out chart."""

    width: float
    height: float
    marks: tuple[Mark, ...]


def lay_out(chart: Chart) -> Layout:
    """Lay a chart out on a fixed width; its height follows from the number of bars."""
    marks = tuple(_upright(chart) if chart.is_upright else _lying(chart))
    height = UPRIGHT_HEIGHT + 36 if chart.is_upright else BAR_ROW * max(1, len(chart.bars)) + 8
    return Layout(width=WIDTH, height=height, marks=marks)


def _extent(bars: tuple[Bar, ...]) -> tuple[float, float]:
    """The lowest and highest value drawn; zero is always among them."""
    drawn = [0.0]
    for bar in bars:
        drawn += [one for one in (bar.value, bar.lower, bar.upper) if one is not None]
    low, high = min(drawn), max(drawn)
    return (low, high) if high > low else (0.0, 1.0)


def _lying(chart: Chart) -> Iterator[Mark]:
    low, high = _extent(chart.bars)
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
            yield from _interval(left, middle, right, middle)
            furthest = max(furthest, right)
        yield Words(furthest + 8, middle + 4, _value(bar, chart.unit), role="value")
    yield Stroke(zero, 14, zero, len(chart.bars) * BAR_ROW, "rule")


def _interval(x1: float, y1: float, x2: float, y2: float) -> Iterator[Mark]:
    for role in ("halo", "interval"):
        yield Stroke(x1, y1, x2, y2, role)
        yield Stroke(x1, y1 - CAP, x1, y1 + CAP, role)
        yield Stroke(x2, y2 - CAP, x2, y2 + CAP, role)


def _value(bar: Bar, unit: str) -> str:
    return f"{bar.printed} {unit}"


def _upright(chart: Chart) -> Iterator[Mark]:
    low, high = _extent(chart.bars)
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
