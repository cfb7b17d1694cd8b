"""What a chased random subsample of the silent would settle.

The range under silence, not the interval, is what a filing usually says aloud. Asking a random few of the
silent until nearly all of them answer replaces the assumption about them by an estimate of them.
"""

import math
from dataclasses import dataclass

from diversion.errors import require_within
from diversion.intervals import multiplier
from diversion.settings import ODDS_SHOWN


@dataclass(frozen=True, slots=True, kw_only=True)
class ChasedSubsample:
    """The range of a figure now, and what it would be after chasing.

    Parameters
    ----------
    chased : int
        Silent households, picked at random, that answered in the end.
    now_low, now_high : float
        The figure if the silent have 1/4 of the answerers' odds of composting, and if they are alike.
    then_low, then_high : float
        90 % limits of the figure from the chased share, at the share that was guessed.
    """

    chased: int
    now_low: float
    now_high: float
    then_low: float
    then_high: float

    @property
    def part_settled(self) -> float:
        """How much of the present range would be gone, 0 to 1; 0 where there is no range or it would be wider."""
        now, then = self.now_high - self.now_low, self.then_high - self.then_low
        return max(1 - then / now, 0.0) if now > 0 else 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Silence:
    """A figure as far as silence goes, and who is silent.

    Parameters
    ----------
    from_answerers : float
        Ŷ₀, what those who answered account for.
    alike : float
        Ŷ, if the silent are like them; at least `from_answerers`.
    still_composting : float
        p, share of the answerers still composting, above 0 and at most 1.
    silent_households : int
        Households asked without an answer in force.
    """

    from_answerers: float
    alike: float
    still_composting: float
    silent_households: int

    def __post_init__(self) -> None:
        require_within("from_answerers", self.from_answerers, 0)
        require_within("alike", self.alike, self.from_answerers)
        require_within("still_composting", self.still_composting, math.ulp(0.0), 1)
        require_within("silent_households", self.silent_households, 0)

    def at_odds(self, odds: float) -> float:
        """The figure if the silent have 1/odds of the answerers' odds of still composting.

        Source
        ------
        Step 8 of the method: Ŷ₀ + (Ŷ − Ŷ₀)/(p + o(1 − p)).
        """
        p = self.still_composting
        return self.from_answerers + (self.alike - self.from_answerers) / (p + odds * (1 - p))

    def at_share(self, share: float) -> float:
        """The figure if that share of the silent still composts, as much each as an answerer who does."""
        return self.from_answerers + (self.alike - self.from_answerers) * share / self.still_composting


def chase(silence: Silence, *, chased: int, share_guessed: float) -> ChasedSubsample:
    """What an answer from so many randomly picked silent households would settle.

    Parameters
    ----------
    silence : Silence
    chased : int
        At least 2 and at most all the silent.
    share_guessed : float
        A guess of the share of the silent still composting, 0 to 1.

    Returns
    -------
    ChasedSubsample

    Raises
    ------
    OutOfRange

    Source
    ------
    Subsampling of non-respondents: Hansen and Hurwitz (1946), J. Amer. Statist. Assoc. 41, 517-529. Limits
    of the share by Student's t with finite population correction, cut to 0 and 1.
    """
    require_within("chased households", chased, 2, silence.silent_households)
    require_within("share_guessed", share_guessed, 0, 1)
    left = 1 - chased / silence.silent_households
    error = math.sqrt(share_guessed * (1 - share_guessed) / (chased - 1) * left)
    half = multiplier(chased - 1) * error
    return ChasedSubsample(
        chased=chased,
        now_low=silence.at_odds(max(ODDS_SHOWN)),
        now_high=silence.at_odds(min(ODDS_SHOWN)),
        then_low=silence.at_share(max(share_guessed - half, 0)),
        then_high=silence.at_share(min(share_guessed + half, 1)),
    )
