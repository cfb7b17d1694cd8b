"""Amounts and shares that some answers did not give: taken from those who gave them, with the error that
brings.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from diversion.columns import Flags, Indices
from diversion.population import Array
from diversion.settings import FEWEST_ANSWERS


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Pools:
    """From whom each cell's missing values are taken: its group, else its band, else everybody.

    Parameters
    ----------
    levels : sequence of array of int, shape (C,)
        The number of the cell's group, of its band, and 0 for everybody: the narrowest first.
    chosen : array of int, shape (C,)
        Which of the levels serves each cell.
    part_given : array, shape (C,)
        q: weight of those who gave the value, of all who have one, in the pool that serves the cell.
    nobody : bool
        Whether some cell misses a value that nobody at all gave; it then counts as 0.
    """

    levels: Sequence[Indices]
    chosen: Indices
    part_given: Array
    nobody: bool

    def ratio(self, numerator: Array, denominator: Array) -> Array:
        """Σnumerator/Σdenominator over the pool that serves each cell, shape (C,); 0 where it is empty.

        Parameters
        ----------
        numerator, denominator : array, shape (C,)
            Of cells that gave the value; 0 elsewhere.
        """
        above, below = self._served(numerator), self._served(denominator)
        return np.divide(above, below, out=np.zeros_like(above), where=below > 0)

    def _served(self, values: Array) -> Array:
        return np.choose(self.chosen, [_sum_over(level, values) for level in self.levels])


def pools(*, levels: Sequence[Indices], given: Flags, weight: Array, answers: Array) -> Pools:
    """Choose for each cell the narrowest pool in which nobody or at least five others gave the value.

    Parameters
    ----------
    levels : sequence of array of int, shape (C,)
        See `Pools`.
    given : array of bool, shape (C,)
    weight : array, shape (C,)
        Exposure, or exposure times amount, of all cells that have the value, given or not; 0 elsewhere.
    answers : array, shape (C,)

    Returns
    -------
    Pools
        A pool in which nothing is missing serves whatever its size, for nothing is taken from it.

    Source
    ------
    Two-phase ratio imputation; its linearisation as in Särndal, Swensson and Wretman (1992), Model Assisted
    Survey Sampling, ch. 9 (from memory).
    """
    has_given = given & (weight > 0)
    chosen = np.full(len(weight), len(levels) - 1)
    shares: list[Array] = []
    for number in reversed(range(len(levels))):
        all_weight = _sum_over(levels[number], weight)
        given_weight = _sum_over(levels[number], weight * has_given)
        complete = _sum_over(levels[number], weight * ~has_given) <= 0
        enough = _sum_over(levels[number], answers * has_given) >= FEWEST_ANSWERS
        chosen = np.where(complete | enough, number, chosen)
        shares.insert(
            0, np.divide(given_weight, all_weight, out=np.ones_like(weight), where=given_weight > 0)
        )
    missing = (weight > 0) & ~given
    nobody = bool(missing.any() and not has_given.any())
    return Pools(levels=levels, chosen=chosen, part_given=np.choose(chosen, shares), nobody=nobody)


def _sum_over(level: Indices, values: Array) -> Array:
    return np.asarray(np.bincount(level, values)[level])
