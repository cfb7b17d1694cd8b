"""Columns in pairs for a run of quarters, each with its interval: one series filled, the other hatched."""

import math
from collections.abc import Iterator

from outreach.filings.charts.marks import (
    LETTER,
    UPRIGHT_HEIGHT,
    WIDTH,
    Mark,
    Rectangle,
    Stroke,
    Words,
    extent,
    hatched,
    interval,
)
from outreach.filings.report import Chart

LEFT, TOP = 44.0, 26.0
KEY = 10.0
STEPS = 4


def pairs(chart: Chart) -> Iterator[Mark]:
    """Bars of one label stand beside each other, in the order of their series; a scale stands at the left."""
    _low, high = extent(chart.bars)
    step = nice_step(high / STEPS)
    top = step * math.ceil(high / step - 1e-9)
    scale = (UPRIGHT_HEIGHT - TOP) / top
    yield from _scale(chart, step, top, scale)
    labels = list(dict.fromkeys(bar.label for bar in chart.bars))
    room = (WIDTH - LEFT) / max(1, len(labels))
    wide = room * 0.8 / max(1, len(chart.series))
    for bar in chart.bars:
        left = LEFT + labels.index(bar.label) * room + room * 0.1 + bar.series * wide
        tall = max(bar.value * scale, 0.5)
        box = (left + 1, UPRIGHT_HEIGHT - tall, wide - 2, tall)
        yield from (hatched(*box) if bar.series else (Rectangle(*box),))
        if bar.lower is not None and bar.upper is not None:
            middle = left + wide / 2
            yield from interval(
                middle, UPRIGHT_HEIGHT - bar.lower * scale, middle, UPRIGHT_HEIGHT - bar.upper * scale
            )
    yield from _quarters(labels, room)
    yield from _keys(chart.series)


def nice_step(least: float) -> float:
    """The smallest of 1, 2 or 5 times a power of ten that is no less."""
    if least <= 0:
        return 1.0
    power = 10.0 ** math.floor(math.log10(least))
    return next(times * power for times in (1, 2, 5, 10) if times * power >= least * (1 - 1e-9))


def _scale(chart: Chart, step: float, top: float, scale: float) -> Iterator[Mark]:
    for line in range(round(top / step) + 1):
        y = UPRIGHT_HEIGHT - line * step * scale
        yield Stroke(LEFT, y, WIDTH, y, "rule")
        yield Words(LEFT - 6, y + 4, f"{line * step:,.12g}", "end")
    yield Words(0, 10, chart.unit)


def _quarters(labels: list[str], room: float) -> Iterator[Mark]:
    for number, label in enumerate(labels):
        middle = LEFT + (number + 0.5) * room
        year, _dash, quarter = label.partition("-")
        yield Words(middle, UPRIGHT_HEIGHT + 14, quarter or label, "middle")
        if quarter and (number == 0 or quarter == "Q1"):
            yield Words(middle, UPRIGHT_HEIGHT + 28, year, "middle")


def _keys(series: tuple[str, ...]) -> Iterator[Mark]:
    right = WIDTH
    for number in reversed(range(len(series))):
        right -= len(series[number]) * LETTER
        yield Words(right, 10, series[number])
        right -= KEY + 5
        yield from (hatched(right, 1, KEY, KEY) if number else (Rectangle(right, 1, KEY, KEY),))
        right -= 18
