"""What a chart is drawn of, in points; y grows downwards from the top."""

from collections.abc import Iterator
from dataclasses import dataclass

from outreach.filings.report import Bar

WIDTH = 480.0
BAR_ROW = 42.0
BAR_THICK = 14.0
TEXT_SIZE = 10.5
LETTER = 0.56 * TEXT_SIZE
UPRIGHT_HEIGHT = 150.0
CAP = 4.0
HATCH_STEP = 5.0


@dataclass(frozen=True, slots=True)
class Rectangle:
    """A bar by its role: filled ('bar'), or an outline for hatches ('bar-second')."""

    x: float
    y: float
    width: float
    height: float
    role: str = "bar"


@dataclass(frozen=True, slots=True)
class Stroke:
    """A line by its role: an axis or grid ('rule'), an interval and the light edge that sets it off ('halo'), a curve
    and its limits, a 'hatch' of a bar that must be told from filled ones without colour."""

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


@dataclass(frozen=True, slots=True)
class Area:
    """A filled band by its role, its corners in order."""

    corners: tuple[tuple[float, float], ...]
    role: str


Mark = Rectangle | Stroke | Words | Area


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """A laid-out chart."""

    width: float
    height: float
    marks: tuple[Mark, ...]


def extent(bars: tuple[Bar, ...]) -> tuple[float, float]:
    """The lowest and highest value drawn; zero is always among them."""
    drawn = [0.0]
    for bar in bars:
        drawn += [one for one in (bar.value, bar.lower, bar.upper) if one is not None]
    low, high = min(drawn), max(drawn)
    return (low, high) if high > low else (0.0, 1.0)


def interval(x1: float, y1: float, x2: float, y2: float) -> Iterator[Mark]:
    """A line between two limits, across which caps stand."""
    across = (0.0, CAP) if y1 == y2 else (CAP, 0.0)
    for role in ("halo", "interval"):
        yield Stroke(x1, y1, x2, y2, role)
        for x, y in ((x1, y1), (x2, y2)):
            yield Stroke(x - across[0], y - across[1], x + across[0], y + across[1], role)


def zero_beside(x: float, top: float) -> Stroke:
    """Where a lying bar starts; a line through all rows would strike out the labels between them."""
    return Stroke(x, top + 16, x, top + 20 + BAR_THICK, "rule")


def hatched(x: float, y: float, width: float, height: float) -> Iterator[Mark]:
    """An outlined bar filled with slanting lines: told from a filled one in grey print as well."""
    yield Rectangle(x, y, width, height, "bar-second")
    start = HATCH_STEP
    while start < width + height:
        left, right = max(0.0, start - height), min(width, start)
        if right > left:
            yield Stroke(x + left, y + start - left, x + right, y + start - right, "hatch")
        start += HATCH_STEP
