"""Ratio totals over groups of households, with their joint covariance (step 7).

A group's total is its exposure in household-weeks times the weekly rate of its answers. Every figure of an
account (tonnes of a measure, methane of a year, net CO2e, a district's part) is a weighted sum of the same
group rates, so that one covariance per group serves them all and parts add up exactly.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from diversion.errors import DiversionError
from diversion.rounding import counted
from diversion.settings import CORRECTION_SHARE

Array = NDArray[np.float64]


class ThinGroup(DiversionError):
    """A group has too few answers for a variance.

    Attributes
    ----------
    answers : int
    """

    def __init__(self, *, answers: int) -> None:
        self.answers = answers
        super().__init__(
            f"A variance needs two answers in each group, one has {answers}. Join thin strata first."
        )


class MoreAnswersThanHouseholds(DiversionError):
    """A group has more answers than households.

    Attributes
    ----------
    answers, households : int
    """

    def __init__(self, *, answers: int, households: int) -> None:
        self.answers, self.households = answers, households
        super().__init__(
            f"{counted(answers, 'answer')} from {counted(households, 'household')}. Gather the records again."
        )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class GroupRates:
    """Weekly rates of Q quantities in H groups, with the covariance of each group's rates.

    Parameters
    ----------
    rates : array, shape (H, Q)
        R = ΣTu/ΣT over the answers. [unit of the quantity per household-week]
    covariances : array, shape (H, Q, Q)
        v = n/(n-1) Σee'/(ΣT)² with e = T(u - R), before any finite population correction.
    answers, households : array of int, shape (H,)
        n and N.
    known : array, shape (H, Q)
        How many of the answers tell the quantity; the others were filled in, and bring no finite population
        correction.

    Raises
    ------
    ThinGroup
        If a group has fewer than two answers.
    MoreAnswersThanHouseholds

    Source
    ------
    Cochran (1977), Sampling Techniques, 3rd ed., ch. 6: the separate ratio estimator, linearised; n/(n-1) and
    T in place of an auxiliary variable.
    """

    rates: Array
    covariances: Array
    answers: NDArray[np.int64]
    households: NDArray[np.int64]
    known: Array

    def __post_init__(self) -> None:
        for answers, households in zip(self.answers.tolist(), self.households.tolist(), strict=True):
            if answers < 2:
                raise ThinGroup(answers=answers)
            if answers > households:
                raise MoreAnswersThanHouseholds(answers=answers, households=households)

    def totals(self, weights: Array) -> Array:
        """Weighted sums of the rates.

        Parameters
        ----------
        weights : array, shape (F, H, Q)
            Household-weeks times whatever the figure multiplies each quantity by.

        Returns
        -------
        array, shape (F,)
        """
        totals: Array = np.tensordot(weights, self.rates, axes=2)
        return totals

    def variances(self, weights: Array, *, correction: float = CORRECTION_SHARE) -> Array:
        """Each group's part of the variance of `totals`.

        Parameters
        ----------
        weights : array, shape (F, H, Q)
        correction : float
            Share of the finite population correction that is taken: 1 in full (the sampling part), 0 none,
            and half for households' own reports, which are noisy even in a census.

        Returns
        -------
        array, shape (F, H)
        """
        by_group = self._corrected(weights, correction)
        raw: Array = (np.matmul(by_group, self.covariances) * by_group).sum(axis=2).T
        return np.maximum(raw, 0.0)

    def covariance(self, weights: Array, *, correction: float = CORRECTION_SHARE) -> Array:
        """Joint covariance of `totals`, shape (F, F)."""
        by_group = self._corrected(weights, correction)
        return np.asarray((by_group @ self.covariances @ by_group.transpose(0, 2, 1)).sum(axis=0))

    def _corrected(self, weights: Array, correction: float) -> Array:
        """Weights with the root of each quantity's finite population correction, shape (H, F, Q)."""
        left = np.sqrt(1 - correction * self.known / self.households[:, None])
        return weights.transpose(1, 0, 2) * left[:, None, :]


def group_rates(
    *,
    answered: Array,
    weekly: Array,
    squares: Array,
    answers: NDArray[np.int64],
    households: NDArray[np.int64],
) -> GroupRates:
    """Rates and their covariance from the sums of each group.

    Parameters
    ----------
    answered : array, shape (H,)
        ΣT of the answers. [household-weeks]
    weekly : array, shape (H, Q)
        ΣTu.
    squares : array, shape (H, 1 + Q, 1 + Q)
        ΣT²zz' with z = (1, u): first row and column ΣT² and ΣT²u.
    answers, households : array of int, shape (H,)

    Returns
    -------
    GroupRates
    """
    rates = weekly / answered[:, None]
    count = weekly.shape[1]
    residual = np.concatenate(
        [-rates[:, :, None], np.broadcast_to(np.eye(count), (len(rates), count, count))], axis=2
    )
    squared = residual @ squares @ residual.transpose(0, 2, 1)
    return GroupRates(
        rates=rates,
        covariances=scaled(squared, answered=answered, answers=answers),
        answers=answers,
        households=households,
        known=np.broadcast_to(answers[:, None], rates.shape),
    )


def scaled(squared_residuals: Array, *, answered: Array, answers: NDArray[np.int64]) -> Array:
    """n/(n-1) Σee'/(ΣT)² for each group; shape (H, Q, Q) in and out. Groups of one answer are undefined."""
    correction = answers / np.maximum(answers - 1, 1)
    return np.asarray(squared_residuals * (correction / answered**2)[:, None, None])


def degrees_of_freedom(variances: Array, answers: NDArray[np.int64]) -> Array:
    """Satterthwaite's degrees of freedom of a sum of independent group variances.

    Parameters
    ----------
    variances : array, shape (F, H)
    answers : array of int, shape (H,)

    Returns
    -------
    array, shape (F,)
        (ΣV)²/Σ(V²/(n-1)); infinite where the variance is 0.

    Source
    ------
    Satterthwaite (1946), Biometrics Bulletin 2: 110-114.
    """
    below = (variances**2 / (answers - 1)).sum(axis=1)
    above = variances.sum(axis=1) ** 2
    return np.asarray(np.divide(above, below, out=np.full_like(above, np.inf), where=below > 0))
