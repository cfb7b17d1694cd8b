"""How households stop: the one quitting rate that ages answers (step 3).

The curves of `curves` are pictures beside it; only this rate enters the tonnes.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from diversion.cells import QuitCount
from diversion.errors import require_within
from diversion.population import Array
from diversion.settings import (
    QUITTING_ASSUMED_ERROR,
    QUITTING_ASSUMED_PER_MONTH,
    QUITTING_BISECTIONS,
    QUITTING_FEWEST_ANSWERS,
    QUITTING_FEWEST_STOPS,
    QUITTING_STEP_PER_MONTH,
    QUITTING_STEPS,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class QuittingRate:
    """The share of composting households that stop in a month, the same at every age.

    Parameters
    ----------
    per_month, standard_error : float
        λ and its error. [1/month]
    assumed : bool
        True where too few answers or stops were counted, and the rate is a choice of ours.
    answers, stops : int
        What it was, or would have been, estimated from.
    """

    per_month: float
    standard_error: float
    assumed: bool
    answers: int
    stops: int

    def __post_init__(self) -> None:
        require_within("quitting rate per month", self.per_month, 0)
        require_within("error of the quitting rate", self.standard_error, 0)


NO_AGEING = QuittingRate(per_month=0.0, standard_error=0.0, assumed=True, answers=0, stops=0)


def quitting_rate(counts: Sequence[QuitCount]) -> QuittingRate:
    """Estimate the quitting rate from who still composts how many months after the first handout.

    Parameters
    ----------
    counts : sequence of QuitCount
        In any order; a month may come more than once.

    Returns
    -------
    QuittingRate
        Mean and standard deviation of the likelihood over λ = 0, 0.001 … 0.060 per month, normalised to 1,
        with s₀, the share that ever started, at its best for each λ. Under 50 answers or 10 stops: 0.012 ±
        0.005, assumed.

    Source
    ------
    Current-status data with an exponential time to quitting and a share that never starts: 'still composting
    at month m' ~ Bernoulli(s₀ exp(-λm)). Profile likelihood on a grid, flat beforehand.
    """
    answers = sum(count.still + count.stopped for count in counts)
    stops = sum(count.stopped for count in counts)
    if answers < QUITTING_FEWEST_ANSWERS or stops < QUITTING_FEWEST_STOPS:
        return QuittingRate(
            per_month=QUITTING_ASSUMED_PER_MONTH,
            standard_error=QUITTING_ASSUMED_ERROR,
            assumed=True,
            answers=answers,
            stops=stops,
        )
    grid: Array = QUITTING_STEP_PER_MONTH * np.arange(QUITTING_STEPS + 1, dtype=float)
    log_likelihood = _profile(counts, grid)
    weight = np.exp(log_likelihood - log_likelihood.max())
    weight /= weight.sum()
    mean = float(weight @ grid)
    error = float(np.sqrt(weight @ (grid - mean) ** 2))
    return QuittingRate(per_month=mean, standard_error=error, assumed=False, answers=answers, stops=stops)


def _profile(counts: Sequence[QuitCount], grid: Array) -> Array:
    months = np.array([count.months for count in counts], dtype=float)
    still = np.array([count.still for count in counts], dtype=float)
    stopped = np.array([count.stopped for count in counts], dtype=float)
    kept = np.exp(-grid[:, None] * months)
    started = _best_start(kept, still.sum(), stopped)
    lost = np.where(stopped > 0, 1 - started[:, None] * kept, 1.0)
    return np.asarray(still.sum() * np.log(started) - grid * (still @ months) + np.log(lost) @ stopped)


def _best_start(kept: Array, still: float, stopped: Array) -> Array:
    """The s₀ in (0, 1) that is best for each λ: the slope of the likelihood in s₀ falls, so bisect for its
    zero.
    """
    low, high = np.zeros(len(kept)), np.ones(len(kept))
    for _ in range(QUITTING_BISECTIONS):
        middle = (low + high) / 2
        # Both sides times s₀(1 - s₀·kept), which stay finite at the ends.
        rises = (
            still
            > (middle[:, None] * kept / np.maximum(1 - middle[:, None] * kept, np.finfo(float).tiny))
            @ stopped
        )
        low, high = np.where(rises, middle, low), np.where(rises, high, middle)
    # The lower end is below 1 and, unless nobody composts, above 0.
    return np.maximum(low, np.finfo(float).tiny)
