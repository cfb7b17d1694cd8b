"""What one quarter adds to each figure, and the figures as sums of their quarters (steps 7, 8 and 13)."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from diversion.conversions import QUARTERS_PER_YEAR
from diversion.figures import AtOdds, Estimate, Figure
from diversion.intervals import log_limits, symmetric_limits
from diversion.population import Array, degrees_of_freedom
from diversion.quarter_rates import QuarterRates
from diversion.weights import FigureName


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class QuarterTerms:
    """One quarter's part of F figures.

    Parameters
    ----------
    composting : float
        p of step 8.
    value, nothing : array, shape (F,)
        If the silent are alike, and if they compost nothing.
    error, sampling_error : array, shape (F,)
        Standard errors with half of the finite population correction, and with all of it.
    degrees_of_freedom : array, shape (F,)
    by_rate : array, shape (F,)
        Derivative by the quitting rate. [unit of the figure x month]
    by_index : array, shape (F, 4)
        Derivative by the logarithm of the yard index of each calendar quarter.
    """

    composting: float
    value: Array
    nothing: Array
    error: Array
    sampling_error: Array
    degrees_of_freedom: Array
    by_rate: Array
    by_index: Array

    def at(self, odds: float) -> Array:
        """The figures where the silent have 1/odds of the answerers' odds of still composting, shape (F,).

        Source
        ------
        Step 8 of the method: what is estimated for the silent, divided by p + odds(1 - p).
        """
        return self.nothing + (self.value - self.nothing) * silent_ratio(self.composting, odds)


def silent_ratio(composting: float, odds: float) -> float:
    """What the silent account for, relative to being like the answerers.

    Parameters
    ----------
    composting : float
        p, share of answerers that still compost, 0 to 1.
    odds : float
        o, the answerers' odds of still composting over the odds of the silent; at least 1.

    Returns
    -------
    float
        1/(p + o(1 - p)): the silent's share still composting over the answerers'.
    """
    return 1 / (composting + odds * (1 - composting))


def quarter_terms(rates: QuarterRates, weights: Array) -> QuarterTerms:
    """Apply the weights of F figures to a quarter's rates.

    Parameters
    ----------
    rates : QuarterRates
    weights : array, shape (F, P, 16)
    """
    by_group = weeks_times(rates.exposed, weights)
    answered = weeks_times(rates.answered, weights)
    variances = rates.rates.variances(by_group)
    sampling = rates.rates.variances(by_group, correction=1)
    return QuarterTerms(
        composting=rates.composting,
        value=rates.rates.totals(by_group),
        nothing=rates.rates.totals(answered),
        error=np.sqrt(variances.sum(axis=1)),
        sampling_error=np.sqrt(sampling.sum(axis=1)),
        degrees_of_freedom=degrees_of_freedom(variances, rates.rates.answers),
        by_rate=-np.einsum("fhq,hq,q->f", by_group, rates.rates.rates, rates.mean_gaps),
        by_index=_by_index(rates, by_group),
    )


def weeks_times(weeks: Array, weights: Array) -> Array:
    """Household-weeks (H, P) times weights (F, P, Q), summed over the parts: shape (F, H, Q)."""
    return weeks @ weights


def _by_index(rates: QuarterRates, by_group: Array) -> Array:
    count = len(by_group)
    if rates.season != "index":
        return np.zeros((count, QUARTERS_PER_YEAR))
    asked: Array = np.tensordot(by_group, rates.asked_rates, axes=2)
    quarter = rates.cells.quarter.quarter
    derivative = -asked[:, 1:]
    # An amount about the quarter itself is multiplied by idx/idx = 1, whatever the index.
    derivative[:, quarter - 1] = asked.sum(axis=1) - asked[:, quarter]
    return derivative


@dataclass(frozen=True, slots=True, kw_only=True)
class Errors:
    """What the errors outside of sampling are: of the quitting rate per month, and of the yard index (log
    scale).
    """

    quitting: float
    index: float


def figures(
    names: Sequence[FigureName],
    quarters: Sequence[QuarterTerms],
    *,
    errors: Errors,
    odds_shown: Sequence[float],
    headline_odds: float,
    known: Array,
) -> tuple[Figure, ...]:
    """The figures of a period from the terms of its quarters.

    Parameters
    ----------
    names : sequence of FigureName, length F
    quarters : sequence of QuarterTerms
        Their values add up, and so do their sampling errors, since the same answers serve several quarters.
    errors : Errors
    odds_shown, headline_odds
        As in `MethodSettings`.
    known : array, shape (F,)
        Added to each figure as it is, without an error of its own: methane of tonnes filed earlier.
    """
    estimates = _estimates(names, quarters, errors)
    at_odds = {odds: np.sum([terms.at(odds) for terms in quarters], axis=0) for odds in odds_shown}
    nothing = np.sum([terms.nothing for terms in quarters], axis=0)
    made = []
    for number, (name, estimate) in enumerate(zip(names, estimates, strict=True)):
        shown = tuple(
            _at_odds(odds, float(values[number]), estimate, name.signed, float(known[number]))
            for odds, values in at_odds.items()
        )
        made.append(
            _figure(
                name,
                _plus(estimate, float(known[number])),
                shown,
                float(nothing[number] + known[number]),
                headline_odds,
            )
        )
    return tuple(made)


def _estimates(
    names: Sequence[FigureName], quarters: Sequence[QuarterTerms], errors: Errors
) -> list[Estimate]:
    value = np.sum([terms.value for terms in quarters], axis=0)
    design = np.sum([terms.error for terms in quarters], axis=0)
    sampling = np.sum([terms.sampling_error for terms in quarters], axis=0)
    degrees = np.min([terms.degrees_of_freedom for terms in quarters], axis=0)
    ageing = errors.quitting * np.abs(np.sum([terms.by_rate for terms in quarters], axis=0))
    by_index = np.sum([terms.by_index for terms in quarters], axis=0)
    season = errors.index * np.sqrt((by_index**2).sum(axis=1))
    table = np.column_stack([value, design, sampling, degrees, ageing, season])
    return [_estimate(name, *row) for name, row in zip(names, table.tolist(), strict=True)]


def _estimate(
    name: FigureName, value: float, design: float, sampling: float, degrees: float, *others: float
) -> Estimate:
    error = math.hypot(design, *others)
    limits = (symmetric_limits if name.signed else log_limits)(value, error, degrees)
    lower, upper = limits or (None, None)
    return Estimate(
        value=value,
        standard_error=error,
        sampling_error=sampling,
        reporting_error=math.sqrt(max(design**2 - sampling**2, 0.0)),
        ageing_error=others[0],
        season_error=others[1],
        degrees_of_freedom=degrees if math.isfinite(degrees) else None,
        lower=lower,
        upper=upper,
    )


def _at_odds(odds: float, value: float, alike: Estimate, signed: bool, known: float) -> AtOdds:
    if alike.lower is None or alike.upper is None:
        return AtOdds(odds=odds, value=value + known, lower=None, upper=None)
    if signed:
        return AtOdds(
            odds=odds,
            value=value + known,
            lower=value - (alike.value - alike.lower) + known,
            upper=value + (alike.upper - alike.value) + known,
        )
    scale = value / alike.value
    return AtOdds(
        odds=odds, value=value + known, lower=alike.lower * scale + known, upper=alike.upper * scale + known
    )


def _plus(estimate: Estimate, known: float) -> Estimate:
    lower, upper = (None if limit is None else limit + known for limit in (estimate.lower, estimate.upper))
    return replace(estimate, value=estimate.value + known, lower=lower, upper=upper)


def _figure(
    name: FigureName, alike: Estimate, shown: tuple[AtOdds, ...], nothing: float, headline_odds: float
) -> Figure:
    lowers = [entry.lower for entry in shown if entry.lower is not None]
    uppers = [entry.upper for entry in shown if entry.upper is not None]
    return Figure(
        name=name.name,
        stream=name.stream,
        unit=name.unit,
        alike=alike,
        at_odds=shown,
        nothing=nothing,
        headline=next(entry for entry in shown if entry.odds == headline_odds),
        # The lowest lower and the highest upper limit: at the largest odds and at 1, but for a negative net.
        said_lower=min(lowers, default=None),
        said_upper=max(uppers, default=None),
    )
