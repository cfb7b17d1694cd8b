"""How long households go on, from everything that is known of it: two curves, mean months, how many likely go on.

Figures of their own beside the tonnes, no part of them.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from diversion.cells import QuitCount
from diversion.curves import Curve, CurvePoint, Held, current_status, kaplan_meier
from diversion.errors import require_within
from diversion.settings import CURVE_MONTHS


@dataclass(frozen=True, slots=True, kw_only=True)
class Following:
    """What the records hold of households that were heard from at least once.

    Parameters
    ----------
    held : tuple of Held
        By months since the first handout. Who stopped without saying when stands at the middle between the last day
        known to compost and the day of the answer.
    stopped_undated : int
        How many of those that quit did not say when.
    in_use : tuple of (months, households)
        Households with a bin at the end of the period, by months since their first handout.
    """

    held: tuple[Held, ...]
    stopped_undated: int
    in_use: tuple[tuple[int, int], ...]

    def __post_init__(self) -> None:
        require_within("households that stopped without a day", self.stopped_undated, 0, self.quit)

    @property
    def quit(self) -> int:
        """Households that quit, whether or not they said when."""
        return sum(one.quit for one in self.held)

    @property
    def households(self) -> int:
        """Households that were followed."""
        return sum(one.quit + one.still for one in self.held)

    @property
    def has_days(self) -> bool:
        """Whether anybody's day of stopping is known; without one there is nothing that the answers do not say."""
        return self.quit > self.stopped_undated


@dataclass(frozen=True, slots=True, kw_only=True)
class GoingOn:
    """One curve, and what follows from it.

    Parameters
    ----------
    curve : Curve
    to_months : float
        What the mean is restricted to: three years, or as far as the curve was looked at.
    mean_months : float
        Months of composting within them.
    likely_active, likely_active_lower, likely_active_upper : float
        Of the households with a bin: at the curve, and at its lower and upper limits everywhere, which is wider than
        90 % for their sum. Beyond the last point the curve is taken to stay.
    """

    curve: Curve
    to_months: float
    mean_months: float
    likely_active: float
    likely_active_lower: float
    likely_active_upper: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Persistence:
    """Both curves, as far as there is anything to draw them from.

    Parameters
    ----------
    households : int
        With a bin at the end of the period.
    answered : GoingOn or None
        From yes-or-no answers, each at its month; None before anybody was asked.
    followed : GoingOn or None
        Kaplan-Meier; None where nobody's day of stopping is known.
    followed_households, followed_quits, stopped_undated : int
        Behind the second curve.
    """

    households: int
    answered: GoingOn | None
    followed: GoingOn | None
    followed_households: int
    followed_quits: int
    stopped_undated: int


def persistence(quits: Sequence[QuitCount], following: Following) -> Persistence:
    """Everything that the records say of how long households go on.

    Parameters
    ----------
    quits : sequence of QuitCount
    following : Following
    """
    asked = any(count.still + count.stopped for count in quits)
    looked_at = max((one.months for one in following.held), default=0.0)
    return Persistence(
        households=sum(count for _, count in following.in_use),
        answered=_going_on(current_status(quits), following, _last(quits)) if asked else None,
        followed=_going_on(kaplan_meier(following.held), following, looked_at)
        if following.has_days
        else None,
        followed_households=following.households,
        followed_quits=following.quit,
        stopped_undated=following.stopped_undated,
    )


def _last(quits: Sequence[QuitCount]) -> float:
    return max(count.months for count in quits if count.still + count.stopped)


def _going_on(curve: Curve, following: Following, looked_at: float) -> GoingOn:
    to_months = min(CURVE_MONTHS, looked_at)
    return GoingOn(
        curve=curve,
        to_months=to_months,
        mean_months=curve.restricted_mean(to_months=to_months),
        likely_active=curve.likely_active(dict(following.in_use)),
        likely_active_lower=_at_limit(curve.points, following, "lower"),
        likely_active_upper=_at_limit(curve.points, following, "upper"),
    )


def _at_limit(points: Sequence[CurvePoint], following: Following, limit: str) -> float:
    return math.fsum(count * _limit_at(points, months, limit) for months, count in following.in_use)


def _limit_at(points: Sequence[CurvePoint], months: float, limit: str) -> float:
    values = [getattr(point, limit) for point in points if point.months <= months]
    return values[-1] if values else 1.0
