"""The draws of an account: its totals, covariance, sites and settings handed to `draws`.

The figures are at the headline assumption about the silent, which scales totals and limits alike; draws say nothing
about that assumption itself.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from diversion.draw_inputs import DrawInputs, DrawnSite, DrawnTotals, places_of
from diversion.drawing import Array, Design
from diversion.draws import CONDITION, DrawnFigures, draw
from diversion.estimating import Estimation, estimate
from diversion.figures import Measure, Stream
from diversion.inputs import AccountInputs
from diversion.lattice import Lattice
from diversion.parts import Estimated
from diversion.population import degrees_of_freedom
from diversion.settings import LATTICE_SINCE
from diversion.terms import silent_ratio, weeks_times
from diversion.weights import Site


def draw_account(
    inputs: AccountInputs,
    *,
    seed: int,
    count: int | None = None,
    browns_tonnes: float | None = None,
) -> DrawnFigures:
    """Draw the figures of an account at its headline assumption about the silent.

    Parameters
    ----------
    inputs : AccountInputs
    seed : int
    count : int or None
        As for `draws.draw`; None takes those of the settings.
    browns_tonnes : float or None
        Put in along with the rest; None takes those of the account at its headline assumption. [t]

    Returns
    -------
    DrawnFigures
        `central` is the headline of the account. Browns are not drawn. Weigh-ins of the inputs stand in place of the
        densities in both.

    Raises
    ------
    TooFewAnswers
        If a quarter has too few answers for any estimate.
    """
    with_bins = [cells for cells in inputs.quarters if any(cell.households for cell in cells.exposure)]
    estimation = estimate(inputs, with_bins)
    if browns_tonnes is None:
        browns_tonnes = estimation.browns.at(inputs.settings.odds) if estimation.browns else 0.0
    made = draw(
        _draw_inputs(inputs, estimation, browns_tonnes),
        seed=seed,
        count=count or inputs.settings.draws,
        design_of=Lattice.of if inputs.settings.version >= LATTICE_SINCE else Design.of,
    )
    return replace(made, condition=condition(inputs.settings.odds))


def condition(odds: float) -> str:
    """What the limits are given, in words."""
    if odds == 1:
        return CONDITION
    return (
        f"if the odds of still composting are 1/{odds:g} as high among the silent as among those who answered"
    )


def _draw_inputs(inputs: AccountInputs, estimation: Estimation, browns_tonnes: float) -> DrawInputs:
    basis, factors = estimation.basis, inputs.factors
    sites = tuple(basis.sites.values())
    quitting = basis.assumptions.quitting
    return DrawInputs(
        totals=period_totals(estimation.quarters, sites),
        sites=tuple(
            DrawnSite(code=site.settings.code, precipitation=site.settings.precipitation, gas=site.gas)
            for site in sites
        ),
        food_conversion=inputs.food_weighed or factors.food_density,
        yard_conversion=inputs.yard_weighed or factors.yard_density,
        food_docf=sites[0].materials[0].docf,
        yard_docf=sites[0].materials[1].docf,
        warming=basis.warming,
        factors=factors,
        n2o_as_printed=inputs.settings.n2o_as_printed,
        quitting_rate=quitting.per_month,
        quitting_rate_error=quitting.standard_error,
        season_log_error=_season_log_error(estimation),
        browns_tonnes=browns_tonnes,
    )


def _season_log_error(estimation: Estimation) -> float:
    """The error that the assumed season makes in gross yard trimmings, relative to them."""
    gross = next(
        figure.alike
        for figure in estimation.figures
        if (figure.name, figure.stream) == (Measure.GROSS, Stream.YARD)
    )
    return gross.season_error / gross.value if gross.value > 0 else 0.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _QuarterTotals:
    """Totals of a quarter at the headline odds, shape (F,), their covariance (F, F), degrees and gaps (F,)."""

    totals: Array
    covariance: Array
    degrees: Array
    gaps: Array


def period_totals(quarters: Sequence[Estimated], sites: Sequence[Site]) -> DrawnTotals:
    """Totals of a period at the headline assumption about the silent, by site, with their covariance.

    Quarters add up, and so do their errors, for the same answers serve several quarters.
    """
    each = [_quarter_totals(quarter, sites) for quarter in quarters]
    totals = np.sum([quarter.totals for quarter in each], axis=0)
    covariance = np.sum([quarter.covariance for quarter in each], axis=0)
    added = np.sum([_errors(quarter.covariance) for quarter in each], axis=0)
    stretch = np.divide(added, _errors(covariance), out=np.ones_like(added), where=_errors(covariance) > 0)
    gaps = np.sum([quarter.gaps * quarter.totals for quarter in each], axis=0)
    shape = (len(sites), -1)
    return DrawnTotals(
        totals=totals.reshape(shape),
        covariance=covariance * np.outer(stretch, stretch),
        degrees_of_freedom=np.min([quarter.degrees for quarter in each], axis=0).reshape(shape),
        gaps_months=np.divide(gaps, totals, out=np.zeros_like(gaps), where=totals > 0).reshape(shape),
    )


def _errors(covariance: Array) -> Array:
    return np.asarray(np.sqrt(np.maximum(np.diag(covariance), 0)))


def _quarter_totals(quarter: Estimated, sites: Sequence[Site]) -> _QuarterTotals:
    rates = quarter.rates
    weights = _weights(quarter, sites)
    by_group = weeks_times(rates.exposed, weights)
    alike = rates.rates.totals(by_group)
    nothing = rates.rates.totals(weeks_times(rates.answered, weights))
    at_odds = nothing + (alike - nothing) * silent_ratio(rates.composting, quarter.odds)
    scale = np.divide(at_odds, alike, out=np.ones_like(alike), where=alike > 0)
    return _QuarterTotals(
        totals=at_odds,
        covariance=rates.rates.covariance(by_group) * np.outer(scale, scale),
        degrees=degrees_of_freedom(rates.rates.variances(by_group), rates.rates.answers),
        gaps=np.tile(rates.mean_gaps, len(sites)),
    )


def _weights(quarter: Estimated, sites: Sequence[Site]) -> Array:
    """What a household-week at a weekly rate of 1 adds to each total, shape (16 sites, parts, 16)."""
    quantities = len(places_of(1))
    weights = np.zeros((len(sites), quantities, len(quarter.rates.parts), quantities))
    for number, site in enumerate(sites):
        here = [jurisdiction == site.settings.code for jurisdiction, *_ in quarter.rates.parts]
        weights[number][:, here, :] = np.diag(site.landfilled())[:, None, :]
    return weights.reshape(-1, *weights.shape[2:])
