"""Curves of how long households go on composting: pictures and figures of their own, no part of the tonnes.

'Are you still composting today?' says only whether quitting came before the day of the answer; such current-status
data have their own estimate. Where the day of quitting is known, Kaplan-Meier's is the right one; on answer dates it
would be biased.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from diversion.cells import QuitCount
from diversion.errors import DiversionError, require_within
from diversion.population import Array
from diversion.quantiles import normal_quantile
from diversion.settings import BAND_BISECTIONS, CONFIDENCE

# The chi-squared quantile, right where answers come at few months and wide where at many: for a continuous time the
# ratio's limit distribution is narrower (Banerjee and Wellner 2001).
MOST_REFUSED = normal_quantile((1 + CONFIDENCE) / 2) ** 2


class NoCurve(DiversionError):
    """Nothing was counted, so there is no curve to draw."""

    def __init__(self) -> None:
        super().__init__("No answers to 'are you still composting?' were counted. Enter some answers first.")


@dataclass(frozen=True, slots=True, kw_only=True)
class CurvePoint:
    """The curve from this month until the next point.

    Parameters
    ----------
    months : float
        Since the first handout.
    at_risk, quits : int
        Current status: answers at this month and 'stopped' among them. Kaplan-Meier: households still composting just
        before, and those that quit then.
    share : float
        Still composting, 0 to 1.
    standard_error : float or None
        Greenwood's; None for current-status data, whose error is not normal.
    lower, upper : float
        Limits at this point, 0 to 1.
    """

    months: float
    at_risk: int
    quits: int
    share: float
    standard_error: float | None
    lower: float
    upper: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Curve:
    """Share of households still composting by month: 1 before the first point, then a step down at each."""

    points: tuple[CurvePoint, ...]

    def at(self, months: float) -> float:
        """Share still composting at that month."""
        shares = [point.share for point in self.points if point.months <= months]
        return shares[-1] if shares else 1.0

    def restricted_mean(self, *, to_months: float) -> float:
        """Mean months of composting within the first `to_months`: the area under the curve."""
        require_within("months", to_months, 0)
        steps = [point.months for point in self.points if point.months < to_months]
        edges = [0.0, *steps, to_months]
        return math.fsum(self.at(start) * (end - start) for start, end in pairwise(edges))

    def likely_active(self, households: Mapping[float, int]) -> float:
        """How many households still compost, of so many by months since their first handout."""
        return math.fsum(count * self.at(months) for months, count in households.items())


def current_status(counts: Sequence[QuitCount]) -> Curve:
    """The curve from yes-or-no answers, each at its month.

    Parameters
    ----------
    counts : sequence of QuitCount
        In any order; a month may come more than once.

    Returns
    -------
    Curve
        Shares that never rise, with 90 % limits at each point.

    Raises
    ------
    NoCurve
        If nothing was counted.

    Source
    ------
    Nonparametric maximum likelihood by pool-adjacent-violators: Ayer et al. (1955), Ann. Math. Stat. 26: 641-647.
    Limits by inverting the likelihood ratio, as Banerjee and Wellner (2001), Ann. Stat. 29: 1699-1731, but with the
    chi-squared quantile, which never covers less.
    """
    months, still, asked = _by_month(counts)
    fitted = falling(still / asked, asked)
    best = _log_likelihood(fitted, still, asked)
    points = []
    for place, month in enumerate(months):
        lower = _limit(still, asked, place, outside=0.0, inside=float(fitted[place]), best=best)
        upper = _limit(still, asked, place, outside=1.0, inside=float(fitted[place]), best=best)
        points.append(
            CurvePoint(
                months=month,
                at_risk=int(asked[place]),
                quits=int(asked[place] - still[place]),
                share=float(fitted[place]),
                standard_error=None,
                lower=lower,
                upper=upper,
            )
        )
    return Curve(points=tuple(points))


def falling(values: Array, weights: Array) -> Array:
    """The closest sequence that never rises, by weighted least squares (pool adjacent violators).

    Parameters
    ----------
    values, weights : array, shape (M,)
        Weights above 0.
    """
    blocks: list[tuple[float, float, int]] = []
    for value, weight in zip(values.tolist(), weights.tolist(), strict=True):
        mean, total, length = value, weight, 1
        while blocks and blocks[-1][0] <= mean:
            before, its_weight, its_length = blocks.pop()
            mean = (before * its_weight + mean * total) / (its_weight + total)
            total, length = total + its_weight, length + its_length
        blocks.append((mean, total, length))
    lengths = np.array([block[2] for block in blocks], dtype=int)
    return np.repeat(np.array([block[0] for block in blocks], dtype=float), lengths)


def _by_month(counts: Sequence[QuitCount]) -> tuple[list[float], Array, Array]:
    still: dict[float, int] = {}
    asked: dict[float, int] = {}
    for count in counts:
        if count.still + count.stopped:
            still[count.months] = still.get(count.months, 0) + count.still
            asked[count.months] = asked.get(count.months, 0) + count.still + count.stopped
    if not asked:
        raise NoCurve
    months = sorted(asked)
    return (
        months,
        np.array([still[month] for month in months], dtype=float),
        np.array([asked[month] for month in months], dtype=float),
    )


def _limit(still: Array, asked: Array, place: int, *, outside: float, inside: float, best: float) -> float:
    """The value between `inside` (allowed) and `outside` beyond which the likelihood ratio refuses, by bisection."""
    if _refusal(still, asked, place, outside, best) <= MOST_REFUSED:
        return outside
    for _ in range(BAND_BISECTIONS):
        middle = (inside + outside) / 2
        if _refusal(still, asked, place, middle, best) <= MOST_REFUSED:
            inside = middle
        else:
            outside = middle
    return inside


def _refusal(still: Array, asked: Array, place: int, value: float, best: float) -> float:
    """Twice the loss of log-likelihood where the curve must pass through `value` at that place."""
    shares = still / asked
    before, after = slice(None, place), slice(place + 1, None)
    left = np.maximum(falling(shares[before], asked[before]), value)
    right = np.minimum(falling(shares[after], asked[after]), value)
    constrained = np.concatenate([left, [value], right])
    return 2 * (best - _log_likelihood(constrained, still, asked))


def _log_likelihood(shares: Array, still: Array, asked: Array) -> float:
    with np.errstate(divide="ignore"):
        yes = np.where(still > 0, still * np.log(np.where(still > 0, shares, 1)), 0)
        no = np.where(asked > still, (asked - still) * np.log(np.where(asked > still, 1 - shares, 1)), 0)
    return float((yes + no).sum())


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """Households whose use of the bin was followed for so many months: those that quit then, and those still at it
    when last heard of.

    Parameters
    ----------
    months : float
    quit, still : int
    """

    months: float
    quit: int
    still: int

    def __post_init__(self) -> None:
        require_within("months followed", self.months, 0)
        require_within("households that quit", self.quit, 0)
        require_within("households still composting", self.still, 0)


def kaplan_meier(held: Sequence[Held], *, confidence: float = CONFIDENCE) -> Curve:
    """The curve where the month of quitting is known.

    Parameters
    ----------
    held : sequence of Held
        In any order. Households still composting leave after those that quit in the same month.
    confidence : float
        Of the limits, on the log-log scale.

    Returns
    -------
    Curve
        One point for each month in which some quit.

    Raises
    ------
    NoCurve
        If nobody was followed.

    Source
    ------
    Kaplan and Meier (1958), J. Am. Stat. Assoc. 53: 457-481; variance by Greenwood's formula, limits as in Kalbfleisch
    and Prentice (1980).
    """
    at_risk = sum(one.quit + one.still for one in held)
    if not at_risk:
        raise NoCurve
    z = normal_quantile((1 + confidence) / 2)
    share, greenwood = 1.0, 0.0
    points = []
    for month in sorted({one.months for one in held}):
        quits = sum(one.quit for one in held if one.months == month)
        if quits:
            share *= 1 - quits / at_risk
            greenwood += quits / (at_risk * (at_risk - quits)) if at_risk > quits else 0.0
            points.append(_survival_point(month, (at_risk, quits), share, greenwood, z))
        at_risk -= quits + sum(one.still for one in held if one.months == month)
    return Curve(points=tuple(points))


def _survival_point(
    month: float, counted: tuple[int, int], share: float, greenwood: float, z: float
) -> CurvePoint:
    lower = upper = share
    if share > 0:
        stretch = math.exp(z * math.sqrt(greenwood) / -math.log(share))
        lower, upper = share**stretch, share ** (1 / stretch)
    return CurvePoint(
        months=month,
        at_risk=counted[0],
        quits=counted[1],
        share=share,
        standard_error=share * math.sqrt(greenwood),
        lower=lower,
        upper=upper,
    )
