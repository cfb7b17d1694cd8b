"""Which uncertainty makes how much of the spread of a figure.

The figures are linear in each group of draws while the others stand still, so that one evaluation with all other
groups at their means gives the first-order share exactly; what remains is due to groups acting together.
"""

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from diversion.drawing import Array
from diversion.settings import NEGLIGIBLE_SPREAD

Effects = Mapping[str, Array]
Evaluate = Callable[[Effects], Sequence[Array]]


@dataclass(frozen=True, slots=True, kw_only=True)
class VarianceShare:
    """The part of a figure's variance that one group of draws makes by itself, 0 to 1."""

    group: str
    share: float


@dataclass(frozen=True, slots=True, kw_only=True)
class VarianceShares:
    """Shares of the groups that have any, largest first, and what is left for groups acting together.

    Estimates from finitely many draws: `together` may come out slightly below 0.
    """

    groups: tuple[VarianceShare, ...]
    together: float


def variance_shares(evaluate: Evaluate, effects: Effects) -> tuple[VarianceShares, ...]:
    """Split the variance of figures by group of draws.

    Parameters
    ----------
    evaluate : callable
        From effects to figures, shape (figures, draws); linear in each group's effects while the others are fixed, and
        broadcasting over the last axis.
    effects : mapping of str to array, shape (..., draws)
        What each group multiplies into the figures.

    Returns
    -------
    tuple of VarianceShares, one for each figure
        All empty where a figure does not vary.

    Source
    ------
    First-order sensitivity index Var(E[Y|X])/Var(Y): Sobol' (1993); Saltelli et al. (2008), Global Sensitivity
    Analysis, section 1.2.9. With Y linear in each group, E[Y|X] is Y with the others at their means.
    """
    total = [_variance(figure) for figure in evaluate(effects)]
    means = {group: effect.mean(axis=-1, keepdims=True) for group, effect in effects.items()}
    alone = {
        group: [_variance(figure) for figure in evaluate({**means, group: effect})]
        for group, effect in effects.items()
    }
    return tuple(
        _shares({group: variances[number] for group, variances in alone.items()}, total[number])
        for number in range(len(total))
    )


def _variance(figure: Array) -> float:
    """Variance over the draws; 0 where there is nothing but rounding."""
    mean = float(figure.mean())
    deviations = figure - mean
    variance = float(deviations @ deviations) / len(figure)
    return variance if variance > (NEGLIGIBLE_SPREAD * mean) ** 2 else 0.0


def _shares(alone: Mapping[str, float], total: float) -> VarianceShares:
    if not total > 0:
        return VarianceShares(groups=(), together=0.0)
    shares = sorted(
        (
            VarianceShare(group=group, share=variance / total)
            for group, variance in alone.items()
            if variance > 0
        ),
        key=lambda share: (-share.share, share.group),
    )
    return VarianceShares(groups=tuple(shares), together=1 - math.fsum(s.share for s in shares))
