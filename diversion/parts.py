"""Parts of an account that add up: jurisdictions, districts, bin families, and the households not yet
asked.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from diversion.cells import AnswerCell, ExposureCell
from diversion.conversions import DAYS_PER_WEEK
from diversion.figures import Part, PartFigure
from diversion.inputs import QuarterCells
from diversion.linear import MEASURES
from diversion.population import Array
from diversion.quarter_rates import PartKey, QuarterRates
from diversion.terms import silent_ratio, weeks_times
from diversion.weights import STREAMS

DIMENSIONS = ("jurisdiction", "district", "family")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Estimated:
    """One quarter's rates with the weights of its tonnes, and the headline assumption about the silent.

    Parameters
    ----------
    rates : QuarterRates
    tonnes : array, shape (12, P, 16)
        Of each measure and stream.
    odds : float
    """

    rates: QuarterRates
    tonnes: Array
    odds: float


def parts(cells: Sequence[QuarterCells], quarters: Sequence[Estimated]) -> tuple[Part, ...]:
    """Every jurisdiction, district and family that had a bin in the period.

    Parameters
    ----------
    cells : sequence of QuarterCells
    quarters : sequence of Estimated
        One for each of `cells`, or none where there is no estimate; the parts then have counts only.
    """
    return tuple(
        _part(dimension, code, cells, quarters)
        for dimension in DIMENSIONS
        for code in sorted({codes_of(cell)[dimension] for quarter in cells for cell in quarter.exposure})
    )


def unasked(cells: Sequence[QuarterCells], quarters: Sequence[Estimated]) -> Part:
    """Households for whom no wave has come due yet: their own line, estimated as their stratum.

    Parameters
    ----------
    cells, quarters
        As for `parts`.
    """
    figures = [
        _terms(quarter, quarter.rates.unasked, np.zeros_like(quarter.rates.unasked)) for quarter in quarters
    ]
    return Part(
        dimension="unasked",
        code="",
        households=sum(cell.unasked_households for cell in cells[-1].exposure),
        household_weeks=_weeks(cell.unasked_days for quarter in cells for cell in quarter.exposure),
        answers=0,
        figures=_figures(figures),
    )


def codes_of(cell: ExposureCell | AnswerCell) -> dict[str, str]:
    """The code of each part that a cell belongs to, by dimension."""
    return _codes((cell.jurisdiction, cell.district, cell.family))


def _codes(part: PartKey) -> dict[str, str]:
    jurisdiction, district, family = part
    return {"jurisdiction": jurisdiction, "district": f"{jurisdiction}/{district}", "family": family}


def _part(dimension: str, code: str, cells: Sequence[QuarterCells], quarters: Sequence[Estimated]) -> Part:
    def belongs(cell: ExposureCell | AnswerCell) -> bool:
        return codes_of(cell)[dimension] == code

    terms = []
    for quarter in quarters:
        inside = np.array([_codes(part)[dimension] == code for part in quarter.rates.parts])
        terms.append(_terms(quarter, quarter.rates.exposed * inside, quarter.rates.answered * inside))
    return Part(
        dimension=dimension,
        code=code,
        households=sum(cell.households for cell in cells[-1].exposure if belongs(cell)),
        household_weeks=_weeks(cell.days for quarter in cells for cell in quarter.exposure if belongs(cell)),
        answers=sum(cell.answers for cell in cells[-1].answers if belongs(cell)),
        figures=_figures(terms),
    )


def _terms(quarter: Estimated, exposed: Array, answered: Array) -> Array:
    """Value alike, error, headline and nothing of each measure and stream: shape (4, 12)."""
    by_group = weeks_times(exposed, quarter.tonnes)
    rates = quarter.rates.rates
    value, nothing = rates.totals(by_group), rates.totals(weeks_times(answered, quarter.tonnes))
    headline = nothing + (value - nothing) * silent_ratio(quarter.rates.composting, quarter.odds)
    return np.array([value, np.sqrt(rates.variances(by_group).sum(axis=1)), headline, nothing])


def _figures(terms: Sequence[Array]) -> tuple[PartFigure, ...]:
    if not terms:
        return ()
    columns = np.sum(terms, axis=0).T.tolist()
    names = [(measure, stream) for measure in MEASURES for stream in STREAMS]
    return tuple(
        PartFigure(
            measure=measure,
            stream=stream,
            alike=alike,
            standard_error=error,
            headline=headline,
            nothing=nothing,
        )
        for (measure, stream), (alike, error, headline, nothing) in zip(names, columns, strict=True)
    )


def _weeks(days: Iterable[int]) -> float:
    return sum(days) / DAYS_PER_WEEK
