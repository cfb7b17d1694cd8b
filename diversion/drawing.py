"""Seeded draws from the raw words of PCG64, by transforms of our own, so that the version of NumPy does not matter.

Draws of a `Design` are a Latin hypercube: each quantity takes the middle of each of n equally likely slices once, in a
random order, and the orders of different quantities are as good as uncorrelated. Limits, medians and shares come out
steadier than with as many plain draws. `lattice` is steadier still; this stays for forecasts, and for filings of the
first two versions of the method. The same quantities under one seed have the same draws in any period.
"""

import math
import zlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Protocol, TypeAlias

import numpy as np
import numpy.typing as npt

from diversion import normal_table as table
from diversion.errors import require_within
from diversion.settings import MOST_DRAWS, NEGLIGIBLE_SPREAD

Array: TypeAlias = npt.NDArray[np.float64]
KEYS_PER_WORD = np.dtype("<u8").itemsize // np.dtype("<u2").itemsize


def normal_quantiles(probabilities: Array) -> Array:
    """The values that a standard normal variable stays under with given probabilities.

    Parameters
    ----------
    probabilities : array
        Between 0 and 1, both excluded.

    Returns
    -------
    array of the same shape

    Source
    ------
    Wichura (1988), Algorithm AS 241, routine PPND16, good to about 1 part in 10**16.
    """
    q = probabilities - 1 / 2
    r = np.sqrt(-np.log(np.minimum(probabilities, 1 - probabilities)))
    centre = table.CENTRE_SQUARE - q * q
    near = q * _ratio(table.CENTRE_NUMERATOR, table.CENTRE_DENOMINATOR, centre)
    tail = _ratio(table.TAIL_NUMERATOR, table.TAIL_DENOMINATOR, r - table.TAIL_SHIFT)
    far = _ratio(table.FAR_NUMERATOR, table.FAR_DENOMINATOR, r - table.TAIL_REACH)
    outer = np.copysign(np.where(r <= table.TAIL_REACH, tail, far), q)
    return np.where(np.abs(q) <= table.CENTRE_REACH, near, outer)


def _ratio(numerator: Sequence[float], denominator: Sequence[float], x: Array) -> Array:
    return _polynomial(numerator, x) / _polynomial(denominator, x)


def _polynomial(coefficients: Sequence[float], x: Array) -> Array:
    value = np.full_like(x, coefficients[0])
    for coefficient in coefficients[1:]:
        value *= x
        value += coefficient
    return value


def triangular_quantiles(probabilities: Array, *, low: float, mode: float, high: float) -> Array:
    """The values that a triangular variable stays under with given probabilities.

    Parameters
    ----------
    probabilities : array
        Between 0 and 1.
    low, mode, high : float
        low <= mode <= high; all three alike give that number.

    Source
    ------
    Inverse of the distribution function; see Johnson, Kotz and Balakrishnan (1995), Continuous Univariate
    Distributions, vol. 2, section 26.9.
    """
    width = high - low
    if width <= 0:
        return np.full_like(probabilities, mode)
    rising = low + np.sqrt(probabilities * width * (mode - low))
    falling = high - np.sqrt((1 - probabilities) * width * (high - mode))
    return np.where(probabilities < (mode - low) / width, rising, falling)


@cache
def middles(count: int) -> Array:
    """The middles of `count` equally likely slices, as probabilities, ascending."""
    return _fixed((np.arange(count) + 1 / 2) / count)


@cache
def normal_scores(count: int) -> Array:
    """The normal quantiles of `middles(count)`."""
    return _fixed(normal_quantiles(middles(count)))


def _fixed(array: Array) -> Array:
    array.flags.writeable = False  # it is shared by everybody who asks
    return array


def orders(name: str, *, seed: int, columns: int, count: int) -> npt.NDArray[np.intp]:
    """Random orders of `count` slices, one for each column of a named quantity.

    Parameters
    ----------
    name : str
        Of the quantity; with the seed it settles the orders.
    seed : int
        At least 0.
    columns, count : int

    Returns
    -------
    array of int, shape (columns, count)

    Source
    ------
    Latin hypercube: McKay, Beckman and Conover (1979), Technometrics 21 (2), 239-245; centred in the slices: Patterson
    (1954), J. R. Statist. Soc. B 16 (1), 140-149. Keys are 16-bit pieces of the raw words of PCG64; of equal keys the
    earlier comes first, for the sort is stable.
    """
    require_within("number of draws", count, 2, MOST_DRAWS)
    require_within("seed", seed, 0)
    words = np.random.PCG64([seed, zlib.crc32(name.encode())]).random_raw(
        math.ceil(columns * count / KEYS_PER_WORD)
    )
    keys = words.astype("<u8").view("<u2")[: columns * count].reshape(columns, count)
    return np.argsort(keys, axis=1, kind="stable")


def normal_columns(name: str, *, seed: int, columns: int, count: int) -> Array:
    """Standard normal draws of a named quantity of several columns, shape (columns, count)."""
    return np.asarray(normal_scores(count)[orders(name, seed=seed, columns=columns, count=count)])


def uncorrelated(scores: Array) -> Array:
    """Standard normal draws with what little correlation chance gave the columns taken out.

    Parameters
    ----------
    scores : array, shape (columns, count)

    Returns
    -------
    array of the same shape
        Their mean products are 1 with themselves and 0 with each other, as far as there are more draws than columns;
        with fewer, directions in which nothing varies stay as they are.
    """
    values, vectors = np.linalg.eigh(scores @ scores.T / scores.shape[1])
    values = np.where(values > NEGLIGIBLE_SPREAD * values.max(initial=0.0), values, 1)
    return np.asarray(((vectors / np.sqrt(values)) @ vectors.T) @ scores)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Design:
    """Draws of several named quantities that are as good as uncorrelated with each other.

    Parameters
    ----------
    places : mapping of str to array of int, shape (count,)
        In which slice each draw of a quantity lies.
    seed, count : int
    """

    places: Mapping[str, npt.NDArray[np.intp]]
    seed: int
    count: int

    @classmethod
    def of(cls, names: Sequence[str], *, seed: int, count: int) -> "Design":
        """A design for the named quantities.

        Raises
        ------
        OutOfRange
            If the seed is negative, or there are fewer than two draws or more than `settings.MOST_DRAWS`.

        Source
        ------
        Iman and Conover (1982), Communications in Statistics B 11 (3), 311-334: each quantity keeps its slices and is
        put in the order of scores without correlation, which steadies limits and shares.
        """
        scores = np.vstack([normal_columns(name, seed=seed, columns=1, count=count) for name in names])
        ordered = np.argsort(uncorrelated(scores), axis=1, kind="stable")
        places = np.empty_like(ordered)
        np.put_along_axis(places, ordered, np.arange(count)[None, :], axis=1)
        return cls(places=dict(zip(names, places, strict=True)), seed=seed, count=count)

    def normal(self, name: str) -> Array:
        """Standard normal draws of one of the quantities, shape (count,)."""
        return np.asarray(normal_scores(self.count)[self.places[name]])

    def triangular(self, name: str, *, low: float, mode: float, high: float) -> Array:
        """Triangular draws of one of the quantities, shape (count,)."""
        return np.asarray(
            triangular_quantiles(middles(self.count), low=low, mode=mode, high=high)[self.places[name]]
        )

    def normals_beside(self, name: str, columns: int) -> Array:
        """Standard normal draws of several columns, uncorrelated with each other and with all the quantities.

        Returns
        -------
        array, shape (columns, count)
        """
        scores = normal_columns(name, seed=self.seed, columns=columns, count=self.count)
        quantities = uncorrelated(np.vstack([self.normal(other) for other in self.places]))
        return uncorrelated(scores - (scores @ quantities.T / self.count) @ quantities)

    def root_of(self, covariance: Array, sizes: Array) -> Array:
        """A root of the covariance of totals of these sizes, whose columns take `normals_beside`.

        Here the symmetric root, the only one that does not depend on the signs of eigenvectors, whatever the sizes.
        """
        values, vectors = np.linalg.eigh((covariance + covariance.T) / 2)
        return np.asarray((vectors * np.sqrt(np.maximum(values, 0))) @ vectors.T)


class DesignOf(Protocol):
    """What lays out the draws of named quantities."""

    def __call__(self, names: Sequence[str], *, seed: int, count: int) -> Design:
        """A design for the named quantities."""
