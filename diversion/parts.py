"""Parts of an account that add up: jurisdictions, districts, bin families, and the households not yet
asked.
"""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from diversion.cells import PART_FIELDS, PartKey
from diversion.conversions import DAYS_PER_WEEK
from diversion.figures import Part, PartFigure
from diversion.inputs import QuarterCells
from diversion.linear import MEASURES
from diversion.population import Array
from diversion.quarter_rates import QuarterRates
from diversion.terms import silent_ratio, weeks_times
from diversion.weights import STREAMS

# Always given, and given where any household has one.
ALWAYS, WHERE_KNOWN = ("jurisdiction", "district", "family"), ("language", "funding_source")


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
    """Every jurisdiction, district and family that had a bin in the period; languages and funding sources where
    any is known, with '' for the rest.

    Parameters
    ----------
    cells : sequence of QuarterCells
    quarters : sequence of Estimated
        One for each of `cells`, or none where there is no estimate; the parts then have counts only.
    """
    return tuple(
        _part(dimension, code, tally, quarters)
        for dimension in _dimensions(cells)
        for code, tally in sorted(_tallies(cells, dimension).items())
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
        household_weeks=sum(cell.unasked_days for quarter in cells for cell in quarter.exposure)
        / DAYS_PER_WEEK,
        answers=0,
        figures=_figures(figures),
    )


def code_of(part: PartKey, dimension: str) -> str:
    """The code of the jurisdiction, district, family, language or funding source that a part belongs to."""
    named = dict(zip(PART_FIELDS, part, strict=True))
    if dimension == "district":
        return f"{named['jurisdiction']}/{named['district']}"
    return named[dimension]


def _dimensions(cells: Sequence[QuarterCells]) -> list[str]:
    known = [
        name for name in WHERE_KNOWN if any(getattr(cell, name) for one in cells for cell in one.exposure)
    ]
    return [*ALWAYS, *known]


@dataclass(slots=True)
class _Tally:
    households: int = 0
    days: int = 0
    answers: int = 0


def _tallies(cells: Sequence[QuarterCells], dimension: str) -> dict[str, _Tally]:
    tallies: dict[str, _Tally] = defaultdict(_Tally)
    for quarter in cells:
        for cell in quarter.exposure:
            tally = tallies[code_of(cell.part, dimension)]
            tally.days += cell.days
            tally.households += cell.households if quarter is cells[-1] else 0
    for answer in cells[-1].answers:
        tallies[code_of(answer.part, dimension)].answers += answer.answers
    return tallies


def _part(dimension: str, code: str, tally: _Tally, quarters: Sequence[Estimated]) -> Part:
    terms = []
    for quarter in quarters:
        inside = np.array([code_of(part, dimension) == code for part in quarter.rates.parts])
        terms.append(_terms(quarter, quarter.rates.exposed * inside, quarter.rates.answered * inside))
    return Part(
        dimension=dimension,
        code=code,
        households=tally.households,
        household_weeks=tally.days / DAYS_PER_WEEK,
        answers=tally.answers,
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
