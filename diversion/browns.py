"""Browns put in along with food and trimmings: they emit in the bin, and are credited nothing (step 11).

Few programmes ask about them, so they are estimated of the whole programme at once, beside the joint estimate of food
and yard trimmings. Their error is added to that of a figure and not squared together with it: the same households
answered both, and that is the most they can make together.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from diversion.conversions import DAYS_PER_WEEK, KG_PER_TONNE
from diversion.figures import AtOdds, Figure, Stream
from diversion.inputs import QuarterCells
from diversion.intervals import symmetric_limits
from diversion.settings import CORRECTION_SHARE, DECILITRES_PER_LITRE, FEWEST_ANSWERS
from diversion.terms import silent_ratio

SIGNS = {"process": 1, "net": -1}


@dataclass(frozen=True, slots=True, kw_only=True)
class Browns:
    """Browns of a period.

    Parameters
    ----------
    tonnes : float
        If the silent are like those who answered. [t]
    nothing : float
        Of those who answered alone. [t]
    composting : float
        p of step 8: share of the answers, by exposed days, that still compost.
    standard_error : float
        [t]
    degrees_of_freedom : float
    told : int
        Answers of households that compost and said how much; the fewest of any quarter.
    """

    tonnes: float
    nothing: float
    composting: float
    standard_error: float
    degrees_of_freedom: float
    told: int

    def at(self, odds: float) -> float:
        """Tonnes where the silent have 1/odds of the answerers' odds of still composting."""
        return self.nothing + (self.tonnes - self.nothing) * silent_ratio(self.composting, odds)


def browns_of(
    quarters: Sequence[QuarterCells], *, kg_per_litre: float, quitting_per_month: float
) -> Browns | None:
    """The browns of a period, or None where too few told of any quarter for an estimate.

    Parameters
    ----------
    quarters : sequence of QuarterCells
    kg_per_litre : float
    quitting_per_month : float
        Amounts of older answers are aged by it, as those of food are.

    Source
    ------
    Ratio estimator of step 7 over those who told, times the share that still composts; the variance of a product of
    the two, taken as independent. Quarters add up, and so do their errors.
    """
    each = [_quarter(cells, kg_per_litre, quitting_per_month) for cells in quarters]
    found = [one for one in each if one is not None]
    if not found or len(found) < len(each):
        return None
    whole = math.fsum(one.tonnes for one in found)
    return Browns(
        tonnes=whole,
        nothing=math.fsum(one.nothing for one in found),
        composting=math.fsum(one.composting for one in found) / len(found),
        standard_error=math.fsum(one.standard_error for one in found),
        degrees_of_freedom=min(one.degrees_of_freedom for one in found),
        told=min(one.told for one in found),
    )


def _quarter(cells: QuarterCells, kg_per_litre: float, quitting_per_month: float) -> Browns | None:
    told = [cell for cell in cells.answers if cell.browns_given and cell.still_composting]
    count = sum(cell.answers for cell in told)
    if count < FEWEST_ANSWERS:
        return None
    aged = [math.exp(-quitting_per_month * cell.gap_months) for cell in told]
    days = sum(cell.days for cell in told)
    mean = math.fsum(m * cell.days_browns for m, cell in zip(aged, told, strict=True)) / days
    squares = math.fsum(
        m**2 * cell.days_sq_browns_sq - 2 * m * mean * cell.days_sq_browns + mean**2 * cell.days_sq
        for m, cell in zip(aged, told, strict=True)
    )
    variance = count / (count - 1) * max(squares, 0.0) / days**2
    answers, answered_days = sum(c.answers for c in cells.answers), sum(c.days for c in cells.answers)
    share = sum(cell.days for cell in cells.answers if cell.still_composting) / answered_days
    of_share = share * (1 - share) / answers
    households = sum(cell.households for cell in cells.exposure)
    left = 1 - CORRECTION_SHARE * count / households
    per_day = kg_per_litre / (DECILITRES_PER_LITRE * DAYS_PER_WEEK * KG_PER_TONNE)
    exposed = sum(cell.days for cell in cells.exposure)
    return Browns(
        tonnes=per_day * exposed * share * mean,
        nothing=per_day * answered_days * share * mean,
        composting=share,
        standard_error=per_day * exposed * math.sqrt(left * (share**2 * variance + mean**2 * of_share)),
        degrees_of_freedom=count - 1,
        told=count,
    )


def with_browns(figures: Sequence[Figure], browns: Browns, *, co2e_per_tonne: float) -> tuple[Figure, ...]:
    """The figures with what browns emit in the emissions of composting, and off the net.

    Parameters
    ----------
    figures : sequence of Figure
    browns : Browns
    co2e_per_tonne : float
        Of composting a tonne. [kg CO2e/t]
    """
    factor = co2e_per_tonne / KG_PER_TONNE
    return tuple(
        _with_browns(figure, browns, SIGNS[figure.name] * factor)
        if figure.name in SIGNS and figure.stream == Stream.BOTH
        else figure
        for figure in figures
    )


def _with_browns(figure: Figure, browns: Browns, each: float) -> Figure:
    alike = figure.alike
    value = alike.value + each * browns.tonnes
    more = abs(each) * browns.standard_error
    error = alike.standard_error + more
    degrees = min(alike.degrees_of_freedom or math.inf, browns.degrees_of_freedom)
    lower, upper = symmetric_limits(value, error, degrees)
    shown = tuple(
        _moved(one, one.value + each * browns.at(one.odds), value - lower) for one in figure.at_odds
    )
    return replace(
        figure,
        alike=replace(
            alike,
            value=value,
            standard_error=error,
            # What is not among the parts of the first estimate's error counts as reporting.
            reporting_error=alike.reporting_error + more,
            degrees_of_freedom=degrees,
            lower=lower,
            upper=upper,
        ),
        at_odds=shown,
        nothing=figure.nothing + each * browns.nothing,
        headline=next(one for one in shown if one.odds == figure.headline.odds),
        said_lower=min(one.lower for one in shown if one.lower is not None),
        said_upper=max(one.upper for one in shown if one.upper is not None),
    )


def _moved(shown: AtOdds, value: float, half: float) -> AtOdds:
    return replace(shown, value=value, lower=value - half, upper=value + half)
