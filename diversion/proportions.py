"""Intervals for a proportion of counted cases."""

import math
from dataclasses import dataclass

from diversion.errors import require_within
from diversion.figures import Share
from diversion.quantiles import beta_quantile, normal_quantile
from diversion.settings import AT_MOST_RISK, CONFIDENCE


def wilson(*, count: int, of: int, confidence: float = CONFIDENCE) -> Share:
    """Wilson's score interval: close to the promised coverage on average, also for few cases.

    Parameters
    ----------
    count, of : int
        0 <= count <= of, of >= 1.
    confidence : float
        Two-sided, 0 to 1.

    Returns
    -------
    Share

    Raises
    ------
    OutOfRange

    Source
    ------
    Wilson (1927), J. Am. Stat. Assoc. 22: 209-212.
    """
    _require_counts(count, of)
    z = normal_quantile((1 + confidence) / 2)
    share = count / of
    middle = (share + z**2 / (2 * of)) / (1 + z**2 / of)
    half = z / (1 + z**2 / of) * math.sqrt(share * (1 - share) / of + (z / (2 * of)) ** 2)
    lower = 0.0 if count == 0 else middle - half
    upper = 1.0 if count == of else middle + half
    return Share(count=count, of=of, share=share, lower=lower, upper=upper, confidence=confidence)


def clopper_pearson(*, count: int, of: int, confidence: float = CONFIDENCE) -> Share:
    """The exact interval of Clopper and Pearson: never covers less than promised, usually more.

    Parameters
    ----------
    count, of : int
        0 <= count <= of, of >= 1.
    confidence : float
        Two-sided, 0 to 1.

    Returns
    -------
    Share

    Raises
    ------
    OutOfRange

    Source
    ------
    Clopper and Pearson (1934), Biometrika 26: 404-413, by beta quantiles.
    """
    _require_counts(count, of)
    tail = (1 - confidence) / 2
    lower = 0.0 if count == 0 else beta_quantile(tail, count, of - count + 1)
    upper = 1.0 if count == of else beta_quantile(1 - tail, count + 1, of - count)
    return Share(count=count, of=of, share=count / of, lower=lower, upper=upper, confidence=confidence)


def at_most(*, of: int, risk: float = AT_MOST_RISK) -> float:
    """The largest share still plausible where none of `of` cases had it: 1 - risk^(1/of).

    Source
    ------
    The one-sided Clopper-Pearson limit for a count of 0.
    """
    _require_counts(0, of)
    return float(1 - risk ** (1 / of))


@dataclass(frozen=True, slots=True, kw_only=True)
class ShareDifference:
    """One share less another, with limits at `confidence`; each share with its own interval."""

    first: Share
    second: Share
    difference: float
    lower: float
    upper: float
    confidence: float

    @property
    def is_clear(self) -> bool:
        """Whether the interval leaves out no difference at all."""
        return not self.lower <= 0 <= self.upper


def newcombe(
    *, first: tuple[int, int], second: tuple[int, int], confidence: float = CONFIDENCE
) -> ShareDifference:
    """The difference of two independent shares, with limits from the score interval of each.

    Parameters
    ----------
    first, second : tuple of int
        Count and number of cases of each, as `wilson` takes them.
    confidence : float
        Two-sided, 0 to 1.

    Returns
    -------
    ShareDifference
        `first` less `second`, -1 to 1.

    Raises
    ------
    OutOfRange

    Source
    ------
    Newcombe (1998), Statistics in Medicine 17: 873-890, method 10 (hybrid score, no continuity correction).
    """
    a, b = (wilson(count=count, of=of, confidence=confidence) for count, of in (first, second))
    difference = a.share - b.share
    return ShareDifference(
        first=a,
        second=b,
        difference=difference,
        lower=difference - math.hypot(a.share - a.lower, b.upper - b.share),
        upper=difference + math.hypot(a.upper - a.share, b.share - b.lower),
        confidence=confidence,
    )


def _require_counts(count: int, of: int) -> None:
    require_within("number of cases", of, 1)
    require_within("count", count, 0, of)
