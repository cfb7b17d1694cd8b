"""Published and assumed numbers, each with where it is from and how far it was checked.

`load("2026-1")` gives an immutable `FactorSet`; `available()` names the released ones; `LATEST` is the
newest. A released set never changes: its digest stands in a test, and a correction is a new set.
"""

from diversion.factors.choices import Horizon, Precipitation, Report
from diversion.factors.factor_set import CollectionPreset, FactorSet, UnknownFactor
from diversion.factors.loading import LATEST, UnknownFactorSet, available, load
from diversion.factors.published import BadFactor, PublishedFactor, Status

__all__ = [
    "LATEST",
    "BadFactor",
    "CollectionPreset",
    "FactorSet",
    "Horizon",
    "Precipitation",
    "PublishedFactor",
    "Report",
    "Status",
    "UnknownFactor",
    "UnknownFactorSet",
    "available",
    "load",
]
