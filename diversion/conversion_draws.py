"""From reported litres to kilograms, drawn: a published density over its range, or weigh-ins in its place."""

import math
from functools import cache
from typing import TypeAlias

import numpy as np

from diversion.calibration import Calibration
from diversion.drawing import Array, Design
from diversion.factors import FactorSet, PublishedFactor
from diversion.intervals import multiplier
from diversion.materials import Material

Conversion: TypeAlias = PublishedFactor | Calibration


def central_kg_per_litre(conversion: Conversion) -> float:
    """The value that the headline uses: the density, or the ratio of the weigh-ins. [kg/L]"""
    return conversion.value if isinstance(conversion, PublishedFactor) else conversion.kg_per_litre


def drawn_factor(factor: PublishedFactor, *, design: Design, name: str) -> Array:
    """Triangular draws of a factor over its published range, shape (count,); its value where it has none."""
    return design.triangular(name, low=factor.low, mode=factor.value, high=factor.high)


def conversion_names(material: Material, conversion: Conversion) -> tuple[str, ...]:
    """The groups of draws that a conversion needs."""
    if isinstance(conversion, PublishedFactor):
        return (f"density of {material}",)
    weighed = (f"weigh-ins of {material}",)
    return (*weighed, f"volunteers who weighed {material}") if conversion.are_volunteers else weighed


def conversion_effects(
    material: Material, conversion: Conversion, *, factors: FactorSet, design: Design
) -> dict[str, Array]:
    """What multiplies the reported litres of a material, by group of draws.

    Parameters
    ----------
    material : Material
    conversion : PublishedFactor or Calibration
    factors : FactorSet
        For the one-sided doubt about volunteers.
    design : Design
        That holds `conversion_names`.

    Returns
    -------
    dict of str to array, shape (count,)
        Either the density, or the ratio of the weigh-ins (log-normal, stretched by Student's t) and, for volunteers,
        what their ratio stands for elsewhere. With weigh-ins no density is drawn.
    """
    first, *volunteers = conversion_names(material, conversion)
    if isinstance(conversion, PublishedFactor):
        return {first: drawn_factor(conversion, design=design, name=first)}
    effects = {first: conversion.kg_per_litre * np.exp(log_spread(conversion) * design.normal(first))}
    for name in volunteers:
        effects[name] = drawn_factor(factors["weigh-ins.volunteers"], design=design, name=name)
    return effects


def log_spread(conversion: Calibration) -> float:
    """Standard deviation of the ratio on the log scale, widened for few homes."""
    if not conversion.kg_per_litre > 0:
        return 0.0
    return stretched(conversion.degrees_of_freedom) * conversion.standard_error / conversion.kg_per_litre


@cache
def stretched(degrees_of_freedom: float) -> float:
    """How much wider a normal spread must be for its limits to be those of Student's t (κ of step 12)."""
    return multiplier(degrees_of_freedom) / multiplier(math.inf)
