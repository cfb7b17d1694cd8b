"""The drawn figures as functions of the effects: tonnes, methane, process emissions and net."""

import math

import numpy as np

from diversion.conversion_draws import central_kg_per_litre
from diversion.conversions import KG_PER_TONNE, METHANE_PER_CARBON
from diversion.draw_inputs import MATERIALS, MEASURES, UNITS, VOLUME, DrawInputs
from diversion.drawing import Array
from diversion.effects import QUITTING, SAMPLING, SEASON, carbon, decay, escaping_share, gas_factors
from diversion.figures import Measure, Stream
from diversion.materials import Material
from diversion.variance_shares import Effects

STREAMS = tuple(Stream)
FIGURES: tuple[tuple[str, Stream, str], ...] = (
    *((str(measure), stream, "t") for measure in MEASURES for stream in STREAMS),
    *(("methane_lifetime", stream, "kg CH4") for stream in STREAMS),
    *(("process", stream, "t CO2e") for stream in STREAMS),
    *(("net", stream, "t CO2e") for stream in STREAMS),
)


def central_effects(inputs: DrawInputs) -> dict[str, Array]:
    """The effects at central values, each with one draw: what is filed.

    The quitting rate and the season are in the totals already, so that their effect is 1 and left out.
    """
    factors = inputs.factors
    totals = inputs.totals.totals.ravel()[list(inputs.totals.above)]
    effects = {SAMPLING: totals[:, None]}
    for material in MATERIALS:
        per_litre = central_kg_per_litre(inputs.conversion(material))
        effects[f"density of {material}"] = np.array([per_litre])
        effects[carbon(material)] = np.array([factors.doc(material).value])
        ks = [factors.k(material, site.precipitation).value for site in inputs.sites]
        effects[decay(material)] = np.array(
            [escaping_share(np.array([k]), site.gas) for k, site in zip(ks, inputs.sites, strict=True)]
        )
    for factor in gas_factors(inputs):
        effects[factor.meaning] = np.array([factor.value])
    return effects


def evaluate(inputs: DrawInputs, effects: Effects) -> tuple[Array, ...]:
    """All figures of all draws.

    Parameters
    ----------
    inputs : DrawInputs
    effects : mapping of str to array
        As of `drawn_effects`; any of them may have a single draw, which then holds for all.

    Returns
    -------
    tuple of array, one for each of FIGURES
        Of shape (draws,), or (1,) where no effect with draws touches the figure.
    """
    tonnes = _tonnes_by_site(inputs, effects)
    by_stream = [
        _streams([_sum(tonnes, measure, material) for material in MATERIALS]) for measure in MEASURES
    ]
    methane = _streams([_methane(inputs, effects, tonnes, material) for material in MATERIALS])
    co2e_per_tonne = _process(inputs, effects)
    gross, before = (by_stream[MEASURES.index(m)] for m in (Measure.GROSS, Measure.COMPOSTED_BEFORE))
    process = [
        (put_in - earlier) * co2e_per_tonne / KG_PER_TONNE
        for put_in, earlier in zip(gross, before, strict=True)
    ]
    process[-1] = process[-1] + inputs.browns_tonnes * co2e_per_tonne / KG_PER_TONNE
    net = [
        avoided * inputs.warming.ch4 / KG_PER_TONNE - emitted
        for avoided, emitted in zip(methane, process, strict=True)
    ]
    return (*(figure for measure in by_stream for figure in measure), *methane, *process, *net)


def _streams(by_material: list[Array]) -> list[Array]:
    """Food, yard trimmings and both, in the order of `Stream`."""
    return [*by_material, by_material[0] + by_material[1]]


Tonnes = dict[tuple[int, Measure, Material], Array]


def _tonnes_by_site(inputs: DrawInputs, effects: Effects) -> Tonnes:
    per_unit = _tonnes_per_unit(effects)
    totals, quitting = effects[SAMPLING], effects.get(QUITTING)
    places = inputs.totals.places
    tonnes: Tonnes = {}
    for number, at in enumerate(inputs.totals.above):
        site, measure, material, unit = places[at]
        amount = totals[number] * per_unit[material, unit]
        if quitting is not None:
            amount = amount * quitting[number]
        key = (site, measure, material)
        tonnes[key] = tonnes[key] + amount if key in tonnes else amount
    return tonnes


def _tonnes_per_unit(effects: Effects) -> dict[tuple[Material, int], Array]:
    """What a litre, or a kilogram, of each material counts in tonnes."""
    season = {Material.FOOD: np.ones(1), Material.YARD: effects.get(SEASON, np.ones(1))}
    return {
        (material, unit): season[material]
        * (_conversion(effects, material) if unit == VOLUME else 1)
        / KG_PER_TONNE
        for material in MATERIALS
        for unit in UNITS
    }


def _conversion(effects: Effects, material: Material) -> Array:
    names = (f"density of {material}", f"weigh-ins of {material}", f"volunteers who weighed {material}")
    return np.asarray(math.prod((effects[name] for name in names if name in effects), start=np.ones(1)))


def _sum(tonnes: Tonnes, measure: Measure, material: Material) -> Array:
    found = [amount for (_, *rest), amount in tonnes.items() if rest == [measure, material]]
    return np.asarray(sum(found, start=np.zeros(1)))


def _methane(inputs: DrawInputs, effects: Effects, tonnes: Tonnes, material: Material) -> Array:
    mcf, methane_fraction, *_ = gas_factors(inputs)
    potential = effects[carbon(material)] * effects[mcf.meaning] * effects[methane_fraction.meaning]
    potential = potential * (KG_PER_TONNE * inputs.docf(material) * METHANE_PER_CARBON)
    escaping = np.zeros(1)
    for site in range(len(inputs.sites)):
        amount = tonnes.get((site, Measure.LANDFILL_BOUND, material))
        if amount is not None:
            escaping = escaping + amount * effects[decay(material)][site]
    return np.asarray(potential * escaping)


def _process(inputs: DrawInputs, effects: Effects) -> Array:
    *_, ch4, n2o = gas_factors(inputs)
    methane = effects[ch4.meaning] * inputs.warming.ch4
    return np.asarray(methane + effects[n2o.meaning] * inputs.warming.n2o)
