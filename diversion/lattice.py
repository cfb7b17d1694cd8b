"""Draws on a shifted lattice: each quantity still takes the middle of each of n equally likely slices once, and the
quantities fill their joint space evenly. Limits come out steadier from seed to seed than with random orders.

The first totals take the first dimensions, for they make most of the spread; then come the named quantities.
"""

import math
import zlib
from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from diversion.drawing import Array, Design, normal_columns, normal_scores
from diversion.errors import require_within
from diversion.lattice_table import LATTICE_MULTIPLIERS, LATTICE_POINTS
from diversion.settings import MOST_DRAWS, NEGLIGIBLE_SPREAD, NEGLIGIBLE_TIE

TOTALS_FIRST = 2


class Lattice(Design):
    """Draws of named quantities, and of columns beside them, on one lattice shifted at random."""

    @classmethod
    def of(cls, names: Sequence[str], *, seed: int, count: int) -> "Lattice":
        """A lattice for the named quantities, the weightiest first; at most as many as it has room for.

        It is made for as many draws as `lattice_table.LATTICE_POINTS`, or a power of two below. With another number
        each quantity still visits every slice once, but two of them may fill their plane less evenly.

        Raises
        ------
        OutOfRange
            If the seed is negative, or there are fewer than two draws or more than `settings.MOST_DRAWS`, or too many
            quantities.

        Source
        ------
        Randomly shifted rank-1 lattice: Cranley and Patterson (1976), SIAM J. Numer. Anal. 13 (6), 904-914; L'Ecuyer
        and Lemieux (2000), Management Science 46 (9), 1214-1235. The shift is in whole slices, from the raw words of
        PCG64.
        """
        require_within("number of draws", count, 2, MOST_DRAWS)
        require_within("seed", seed, 0)
        require_within("quantities of a lattice", len(names), 0, len(LATTICE_MULTIPLIERS) - TOTALS_FIRST)
        places = {name: _places(TOTALS_FIRST + at, seed=seed, count=count) for at, name in enumerate(names)}
        return cls(places=places, seed=seed, count=count)

    def normals_beside(self, name: str, columns: int) -> Array:
        """Standard normal draws of several columns, the weightiest first, evenly spread with all the quantities.

        Columns for which the lattice has no room are put in random orders.

        Returns
        -------
        array, shape (columns, count)
        """
        free = [*range(TOTALS_FIRST), *range(TOTALS_FIRST + len(self.places), len(LATTICE_MULTIPLIERS))]
        scores = normal_scores(self.count)
        inside = [scores[_places(at, seed=self.seed, count=self.count)] for at in free[:columns]]
        beyond = columns - len(inside)
        if beyond:
            inside += [*normal_columns(name, seed=self.seed, columns=beyond, count=self.count)]
        return np.array(inside).reshape(columns, self.count)

    def root_of(self, covariance: Array, sizes: Array) -> Array:
        """A root of the covariance whose first columns make most of the variance of the sum of the totals."""
        return pivoted_root(covariance, sizes)


def _places(dimension: int, *, seed: int, count: int) -> npt.NDArray[np.intp]:
    """In which slice each draw lies in a dimension."""
    words = np.random.PCG64([seed, zlib.crc32(b"lattice")]).random_raw(len(LATTICE_MULTIPLIERS))
    shift = int(words[dimension]) % count
    return np.asarray((np.arange(count) * _multiplier(dimension, count) + shift) % count, dtype=np.intp)


def _multiplier(dimension: int, count: int) -> int:
    """That of the table, in proportion to the number of draws, and visiting every slice once."""
    found = round(count * LATTICE_MULTIPLIERS[dimension] / LATTICE_POINTS)
    while math.gcd(found, count) != 1:
        found += 1
    return found


def pivoted_root(covariance: Array, sizes: Array) -> Array:
    """A matrix whose product with its transpose is the covariance, the weightiest directions first.

    Parameters
    ----------
    covariance : array, shape (T, T)
        Of logarithms; symmetric, with no negative eigenvalue but for rounding.
    sizes : array, shape (T,)
        The totals: what varies most in absolute terms comes first.

    Returns
    -------
    array, shape (T, T)

    Source
    ------
    Cholesky decomposition with complete pivoting: Higham (2002), Accuracy and Stability of Numerical Algorithms, 2nd
    ed., section 10.3. Of pivots that are alike but for rounding the first is taken, so that no rounding decides.
    """
    left, root = np.array(covariance), np.zeros_like(covariance)
    absolute = np.diag(left) * sizes**2
    least = NEGLIGIBLE_SPREAD * absolute.max(initial=0.0)
    for column in range(len(left)):
        absolute = np.diag(left) * sizes**2
        largest = absolute.max(initial=0.0)
        if largest <= least:
            break
        pivot = int(np.argmax(absolute >= (1 - NEGLIGIBLE_TIE) * largest))
        root[:, column] = left[:, pivot] / math.sqrt(left[pivot, pivot])
        left = left - np.outer(root[:, column], root[:, column])
    return root
