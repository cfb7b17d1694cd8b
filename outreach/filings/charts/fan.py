"""A fan: tonnes since the start of a year by the end of each month, as two bands around the middle."""

from collections.abc import Iterator, Sequence

from outreach.filings.charts.marks import UPRIGHT_HEIGHT, WIDTH, Area, Layout, Mark, Stroke, Words

LEFT, RIGHT = 52.0, 74.0
TOP = 14.0
GRID_LINES = 4


def lay_out_fan(names: Sequence[str], fan: Sequence[Sequence[float]], printed: Sequence[str]) -> Layout:
    """Lay out quantiles by month.

    Parameters
    ----------
    names : sequence of str
        The starting point, then each month.
    fan : sequence of five quantiles each
        At the start and at the end of each month; the first are all alike.
    printed : sequence of str
        Lowest, middle and highest at the end, and the value at the top of the scale.
    """
    return Layout(width=WIDTH, height=UPRIGHT_HEIGHT + 22, marks=tuple(_marks(names, fan, printed)))


def _marks(names: Sequence[str], fan: Sequence[Sequence[float]], printed: Sequence[str]) -> Iterator[Mark]:
    step = (WIDTH - LEFT - RIGHT) / max(len(fan) - 1, 1)
    top = max(max(points) for points in fan) or 1.0
    scale = (UPRIGHT_HEIGHT - TOP) / top

    def place(month: int, value: float) -> tuple[float, float]:
        return LEFT + month * step, UPRIGHT_HEIGHT - value * scale

    for line in range(GRID_LINES + 1):
        y = UPRIGHT_HEIGHT - (UPRIGHT_HEIGHT - TOP) * line / GRID_LINES
        yield Stroke(LEFT, y, WIDTH - RIGHT, y, "rule")
    yield Words(LEFT - 6, UPRIGHT_HEIGHT + 4, "0", "end")
    yield Words(LEFT - 6, TOP + 4, printed[-1], "end")
    months = range(len(fan))
    for low, high, role in ((0, 4, "band-outer"), (1, 3, "band-inner")):
        there = [place(month, fan[month][low]) for month in months]
        back = [place(month, fan[month][high]) for month in reversed(months)]
        yield Area((*there, *back), role)
    for month in list(months)[1:]:
        yield Stroke(*place(month - 1, fan[month - 1][2]), *place(month, fan[month][2]), "curve")
    for value, words, role in zip(
        (fan[-1][0], fan[-1][2], fan[-1][4]), printed, ("label", "value", "label"), strict=False
    ):
        x, y = place(len(fan) - 1, value)
        yield Words(x + 6, y + 4, words, role=role)
    for month in months:
        yield Words(LEFT + month * step, UPRIGHT_HEIGHT + 14, names[month], "middle")
