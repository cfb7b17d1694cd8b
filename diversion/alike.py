"""Answers that are all alike: no spread can be measured, so no interval can be given.

Five households that say the same amount are no proof that a sixth would. An interval of no width, or of the width that
ageing alone makes, would claim the opposite.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import replace

from diversion.cells import AnswerCell
from diversion.figures import AtOdds, Figure, Measure, Stream
from diversion.inputs import QuarterCells
from diversion.settings import ALIKE_WITHIN

STREAMS = (Stream.FOOD, Stream.YARD)


def without_false_intervals(
    figures: Sequence[Figure], quarters: Sequence[QuarterCells]
) -> tuple[Figure, ...]:
    """The figures of a period, those that no spread was measured of without limits.

    Parameters
    ----------
    figures : sequence of Figure
    quarters : sequence of QuarterCells
        Those that they were estimated from. Answers are alike in a period if they are in each of its quarters.
    """
    amounts = {stream: all(_alike(cells.answers, stream) for cells in quarters) for stream in STREAMS}
    whole = {
        stream: amounts[stream] and all(_shares_alike(cells.answers, stream) for cells in quarters)
        for stream in STREAMS
    }
    return tuple(
        _without_limits(figure) if _has_no_spread(figure) or _of_alike(figure, amounts, whole) else figure
        for figure in figures
    )


def has_no_spread(figure: Figure) -> bool:
    """Whether an estimated figure has no limits because its answers are alike, and not because they differ too much."""
    return (
        figure.alike.lower is None
        and figure.alike.value != 0
        and figure.alike.standard_error <= abs(figure.alike.value)
    )


def _has_no_spread(figure: Figure) -> bool:
    spread = math.hypot(figure.alike.sampling_error, figure.alike.reporting_error)
    return spread <= ALIKE_WITHIN * abs(figure.alike.value)


def _of_alike(figure: Figure, amounts: dict[Stream, bool], whole: dict[Stream, bool]) -> bool:
    alike = amounts if figure.name == Measure.GROSS else whole
    return all(alike[stream] for stream in STREAMS if figure.stream in (stream, Stream.BOTH))


def _without_limits(figure: Figure) -> Figure:
    at_odds = tuple(_bare(shown) for shown in figure.at_odds)
    return replace(
        figure,
        alike=replace(figure.alike, lower=None, upper=None),
        at_odds=at_odds,
        headline=_bare(figure.headline),
        said_lower=None,
        said_upper=None,
    )


def _bare(shown: AtOdds) -> AtOdds:
    return replace(shown, lower=None, upper=None)


def _alike(answers: Iterable[AnswerCell], stream: Stream) -> bool:
    """Whether every household composts and all that told the amount told the same; whole numbers, so exactly."""
    first: tuple[object, int, int] | None = None
    for cell in answers:
        if not cell.still_composting:
            return False
        unit, given, linear, square = _told(cell, stream)
        if not given:
            continue
        # Amounts within a cell are all alike where Cauchy and Schwarz's inequality is an equality.
        if linear**2 != square * cell.days_sq:
            return False
        first = first or (unit, linear, cell.days_sq)
        if unit != first[0] or linear * first[2] != first[1] * cell.days_sq:
            return False
    return first is not None


def _told(cell: AnswerCell, stream: Stream) -> tuple[object, bool, int, int]:
    """Unit, whether the amount was told, ΣT²x and ΣT²x²."""
    if stream == Stream.FOOD:
        return cell.food_in, cell.food_given, cell.days_sq_food, cell.days_sq_food_sq
    return cell.yard_in, cell.yard_given, cell.days_sq_yard, cell.days_sq_yard_sq


def _shares_alike(answers: Iterable[AnswerCell], stream: Stream) -> bool:
    return len({_shares(cell, stream) for cell in answers}) == 1


def _shares(cell: AnswerCell, stream: Stream) -> tuple[object, ...]:
    if stream == Stream.FOOD:
        return cell.food_trash_percent, cell.food_composted_percent, cell.prior
    return cell.yard_trash_percent, cell.yard_composted_percent, cell.prior
