"""From a whole to what is left of it: what is taken off hangs between the two, hatched."""

from collections.abc import Iterator

from outreach.filings.charts.marks import (
    BAR_ROW,
    BAR_THICK,
    LETTER,
    WIDTH,
    Mark,
    Rectangle,
    Stroke,
    Words,
    hatched,
    interval,
    zero_beside,
)
from outreach.filings.report import Bar, Chart


def falls(chart: Chart) -> Iterator[Mark]:
    """A bar of the first series starts at zero; one of the second at the end of the bar above it."""
    spans = list(_spans(chart.bars))
    drawn = [0.0, *(end for span in spans for end in span)]
    drawn += [limit for bar in chart.bars for limit in (bar.lower, bar.upper) if limit is not None]
    low, high = min(drawn), max(drawn) if max(drawn) > min(drawn) else 1.0
    room = max((len(f"{bar.printed} {chart.unit}") for bar in chart.bars), default=0) * LETTER + 12
    scale = (WIDTH - room) / (high - low)
    for number, (bar, (start, end)) in enumerate(zip(chart.bars, spans, strict=True)):
        top = number * BAR_ROW
        left, right = ((one - low) * scale for one in sorted((start, end)))
        box = (left, top + 18, max(right - left, 0.5), BAR_THICK)
        yield Words(0, top + 12, bar.label)
        yield from (hatched(*box) if bar.series else (Rectangle(*box),))
        middle, furthest = top + 18 + BAR_THICK / 2, right
        if bar.lower is not None and bar.upper is not None:
            limits = ((bar.lower - low) * scale, (bar.upper - low) * scale)
            yield from interval(limits[0], middle, limits[1], middle)
            furthest = max(right, limits[1])
        yield Words(furthest + 8, middle + 4, f"{bar.printed} {chart.unit}", role="value")
        yield zero_beside(-low * scale, top)
        if number + 1 < len(chart.bars):
            yield from _down_to_the_next((end - low) * scale, top)


def _down_to_the_next(x: float, top: float) -> Iterator[Mark]:
    """From the end of a bar to the bar below, but not through the label between them."""
    yield Stroke(x, top + 18 + BAR_THICK, x, top + BAR_ROW + 1, "rule")
    yield Stroke(x, top + BAR_ROW + 15, x, top + BAR_ROW + 18, "rule")


def _spans(bars: tuple[Bar, ...]) -> Iterator[tuple[float, float]]:
    level = 0.0
    for bar in bars:
        start = level if bar.series else 0.0
        level = start + bar.value
        yield start, level
