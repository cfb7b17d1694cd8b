"""A fiscal year as a fan: what the bins that are out, and so many more workshops, may keep composting.

A forecast for planning, never a figure of a filing.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from diversion.conversions import KG_PER_TONNE, WEEKS_PER_MONTH
from diversion.drawing import Array, Design
from diversion.draws import quantiles
from diversion.errors import require_within
from diversion.settings import FAN, FORECAST_DRAWS

RATE, UPTAKE, QUITTING = "kilograms per household-week", "bins handed out of bins brought", "quitting rate"


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedWorkshop:
    """Bins that go out in a month of the year, the first being 0: brought to a workshop to come, or known to be gone.

    Parameters
    ----------
    month, bins : int
    are_out : bool
        The bins went home already, so that there is no uptake to guess.
    """

    month: int
    bins: int
    are_out: bool = False

    def __post_init__(self) -> None:
        require_within("month", self.month, 0)
        require_within("bins", self.bins, 0)


@dataclass(frozen=True, slots=True, kw_only=True)
class ForecastBasis:
    """What past periods say about the year to come.

    Parameters
    ----------
    households_now : int
        With a bin in use at the start.
    kg_per_household_week : float
        Gross mean over households with a bin, quitters included.
    relative_error : float
        Its standard error over the mean, answers and factors together.
    uptake, uptake_sd : float
        Mean share of the bins brought that were handed out at past workshops, and its spread from one to
        the next.
    quitting_rate, quitting_rate_error : float
        [1/month]
    season : tuple of float
        Of each month of the year to come relative to the mean; () for none.
    """

    households_now: int
    kg_per_household_week: float
    relative_error: float
    uptake: float
    uptake_sd: float
    quitting_rate: float
    quitting_rate_error: float
    season: tuple[float, ...] = ()

    def __post_init__(self) -> None:
        for name in (
            "households_now",
            "kg_per_household_week",
            "relative_error",
            "uptake_sd",
            "quitting_rate",
            "quitting_rate_error",
        ):
            require_within(name, getattr(self, name), 0)
        require_within("uptake", self.uptake, 0, 1)
        for factor in self.season:
            require_within("season", factor, 0)


@dataclass(frozen=True, slots=True, kw_only=True)
class FanPoint:
    """Tonnes since the start of the year, at the end of one month.

    Parameters
    ----------
    month : int
        The first is 0.
    tonnes : tuple of float
        At the quantiles `settings.FAN`: 5, 25, 50, 75 and 95 %.
    """

    month: int
    tonnes: tuple[float, ...]


def forecast(
    basis: ForecastBasis,
    workshops: Sequence[PlannedWorkshop],
    *,
    months: int,
    seed: int,
    count: int = FORECAST_DRAWS,
) -> tuple[FanPoint, ...]:
    """Cumulated gross tonnes by month if these workshops are held.

    Parameters
    ----------
    basis : ForecastBasis
    workshops : sequence of PlannedWorkshop
        A bin handed out counts from the middle of its month.
    months : int
        Length of the year left, at least 1; a season given must cover it.
    seed, count : int
        As for `draws.draw`.

    Returns
    -------
    tuple of FanPoint, one for each month

    Raises
    ------
    OutOfRange

    Source
    ------
    Arithmetic of the method: households × weeks × mean × e^(−λt); mean log-normal, λ normal cut at 0,
    uptake of each workshop normal cut to 0 and 1. Spread between households is not in it, for it averages
    out.
    """
    require_within("months", months, 1, len(basis.season) or math.inf)
    design = Design.of([RATE, QUITTING], seed=seed, count=count)
    rate = basis.kg_per_household_week * np.exp(basis.relative_error * design.normal(RATE))
    quitting = np.maximum(basis.quitting_rate + basis.quitting_rate_error * design.normal(QUITTING), 0)
    handed_out = _handed_out(basis, workshops, design)
    tonnes, points = np.zeros(count), []
    for month in range(months):
        composting = basis.households_now * np.exp(-quitting * (month + 1 / 2))
        for workshop, bins in zip(workshops, handed_out, strict=True):
            composting = composting + bins * _share_of_month(workshop.month, month, quitting)
        season = basis.season[month] if basis.season else 1.0
        tonnes = tonnes + composting * rate * (WEEKS_PER_MONTH * season / KG_PER_TONNE)
        points.append(FanPoint(month=month, tonnes=tuple(quantiles(tonnes, FAN))))
    return tuple(points)


def _handed_out(basis: ForecastBasis, workshops: Sequence[PlannedWorkshop], design: Design) -> list[Array]:
    if not workshops:
        return []
    scores = design.normals_beside(UPTAKE, len(workshops))
    shares = np.clip(basis.uptake + basis.uptake_sd * scores, 0, 1)
    return [
        np.full_like(share, workshop.bins) if workshop.are_out else workshop.bins * share
        for workshop, share in zip(workshops, shares, strict=True)
    ]


def _share_of_month(handed_out_in: int, month: int, quitting: Array) -> Array:
    """Part of a month that a bin of an earlier month is in use; half of the month it is handed out in."""
    if month < handed_out_in:
        return np.zeros_like(quitting)
    if month == handed_out_in:
        return np.full_like(quitting, 1 / 2)
    return np.asarray(np.exp(-quitting * (month - handed_out_in)))
