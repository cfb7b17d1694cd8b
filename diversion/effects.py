"""What each group of draws multiplies into the figures.

Every effect has the draws along its last axis, and the figures are linear in each of them while the others stand
still; `outputs.evaluate` puts them together.
"""

import math

import numpy as np

from diversion.conversion_draws import conversion_effects, conversion_names, drawn_factor, stretched
from diversion.draw_inputs import MATERIALS, DrawInputs, DrawnTotals
from diversion.drawing import Array, Design, DesignOf
from diversion.factors import PublishedFactor
from diversion.figures import Measure
from diversion.intervals import multiplier
from diversion.landfill import GasCollection
from diversion.lattice import Lattice
from diversion.materials import Material
from diversion.settings import LIFETIME_YEARS, WIDEST_LOG_INTERVAL

SAMPLING = "who answered"
QUITTING = "quitting rate"
SEASON = "season of yard trimmings"
WITHIN = {
    Measure.LANDFILL_BOUND: Measure.GROSS,
    Measure.ADDITIONAL: Measure.LANDFILL_BOUND,
    Measure.COMPOSTED_BEFORE: Measure.GROSS,
}


def drawn_effects(
    inputs: DrawInputs, *, seed: int, count: int, design_of: DesignOf = Lattice.of
) -> dict[str, Array]:
    """The effects of all groups of draws.

    Parameters
    ----------
    inputs : DrawInputs
    seed, count : int
    design_of : callable
        Lays out the draws.

    Returns
    -------
    dict of str to array
        Totals and what multiplies them (totals above 0, count); season and factors (count,); decay (P, count).
    """
    design = design_of(_names(inputs), seed=seed, count=count)
    effects = {SAMPLING: drawn_totals(inputs.totals, design=design)}
    if inputs.quitting_rate_error > 0:
        effects[QUITTING] = _quitting(inputs, design)
    if inputs.season_log_error > 0:
        effects[SEASON] = np.exp(inputs.season_log_error * design.normal(SEASON))
    for material in MATERIALS:
        effects |= conversion_effects(
            material, inputs.conversion(material), factors=inputs.factors, design=design
        )
        effects[carbon(material)] = drawn_factor(
            inputs.factors.doc(material), design=design, name=carbon(material)
        )
        effects[decay(material)] = _decayed(inputs, material, design)
    for factor in gas_factors(inputs):
        effects[factor.meaning] = drawn_factor(factor, design=design, name=factor.meaning)
    return effects


def gas_factors(inputs: DrawInputs) -> tuple[PublishedFactor, ...]:
    """The factors that all materials share: two of the landfill, two of composting itself."""
    factors = inputs.factors
    n2o = factors.process_n2o_as_printed if inputs.n2o_as_printed else factors.process_n2o
    return factors.mcf, factors.methane_fraction, factors.process_ch4, n2o


def _names(inputs: DrawInputs) -> list[str]:
    """Every group but the totals, whether or not it varies, so that its draws do not depend on which do.

    What makes most of the spread of tonnes comes first.
    """
    names = [
        name for material in MATERIALS for name in conversion_names(material, inputs.conversion(material))
    ]
    names += [SEASON, QUITTING]
    names += [name(material) for name in (carbon, decay) for material in MATERIALS]
    return [*names, *(factor.meaning for factor in reversed(gas_factors(inputs)))]


def carbon(material: Material) -> str:
    """Name of the group of degradable carbon."""
    return f"carbon in {material}"


def decay(material: Material) -> str:
    """Name of the group of decay rates."""
    return f"decay of {material}"


def drawn_totals(totals: DrawnTotals, *, design: Design) -> Array:
    """Jointly log-normal draws of the totals above 0, shape (T, count), in the order of `DrawnTotals.places`.

    The median of each is its estimate, and the log-covariance is κκ′ Cov/ŶŶ′ with κ = t/z for its degrees of freedom,
    cut where an interval would no longer mean anything. A part never exceeds what it is a part of.
    """
    above = list(totals.above)
    medians = totals.totals.ravel()[above]
    stretch = np.array([stretched(d) for d in totals.degrees_of_freedom.ravel()[above].tolist()])
    relative = totals.covariance[np.ix_(above, above)] / np.outer(medians / stretch, medians / stretch)
    root = design.root_of(_no_wider_than_means_anything(relative), medians)
    drawn = root @ design.normals_beside(SAMPLING, len(above))
    np.exp(drawn, out=drawn)
    drawn *= medians[:, None]
    _keep_parts_within(drawn, totals, above)
    return drawn


def _no_wider_than_means_anything(covariance: Array) -> Array:
    """The covariance with spreads cut to the widest interval that is ever given, so that no draw overflows."""
    spreads = np.sqrt(np.maximum(np.diag(covariance), 0))
    widest = WIDEST_LOG_INTERVAL / multiplier(math.inf)
    kept = np.divide(widest, spreads, out=np.ones_like(spreads), where=spreads > widest)
    return np.asarray(covariance * np.outer(kept, kept))


def _keep_parts_within(drawn: Array, totals: DrawnTotals, above: list[int]) -> None:
    places = totals.places
    row = {places[at]: number for number, at in enumerate(above)}
    for (site, measure, material, unit), number in row.items():
        whole = row.get((site, WITHIN.get(measure, measure), material, unit), number)
        np.minimum(drawn[number], drawn[whole], out=drawn[number])


def _quitting(inputs: DrawInputs, design: Design) -> Array:
    scores = design.normal(QUITTING)
    rate = np.maximum(inputs.quitting_rate + inputs.quitting_rate_error * scores, 0)
    gaps = inputs.totals.gaps_months.ravel()[list(inputs.totals.above)]
    different, which = np.unique(gaps, return_inverse=True)
    return np.asarray(np.exp(np.outer(different, inputs.quitting_rate - rate))[which])


def _decayed(inputs: DrawInputs, material: Material, design: Design) -> Array:
    """One draw for all sites: a site of another class takes the same place in its own range."""
    rows = []
    for site in inputs.sites:
        k = inputs.factors.k(material, site.precipitation)
        rows.append(escaping_share(drawn_factor(k, design=design, name=decay(material)), site.gas))
    return np.array(rows)


def escaping_share(k: Array, gas: GasCollection) -> Array:
    """Share of a tonne's potential methane that escapes in its first hundred years, for many decay rates.

    Parameters
    ----------
    k : array
        [1/year]
    gas : GasCollection

    Returns
    -------
    array of the same shape
        0 to 1, after collection and oxidation.

    Source
    ------
    As `landfill.methane_kg_per_tonne`; neighbouring phases share an exponential.
    """
    at_age: dict[float, float] = {}
    for phase in gas.covering:
        lo, hi = max(phase.from_age, gas.delay_years), min(phase.to_age, LIFETIME_YEARS)
        if hi > lo:
            at_age[lo] = at_age.get(lo, 0.0) + (1 - phase.efficiency)
            at_age[hi] = at_age.get(hi, 0.0) - (1 - phase.efficiency)
    share = np.zeros_like(k)
    for age, weight in at_age.items():
        share += weight * np.exp((gas.delay_years - age) * k)
    return (1 - gas.oxidation) * share
