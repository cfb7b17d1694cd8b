"""How long households go on, from everything that is known of it: two curves, mean months, how many likely go on.

Figures of their own beside the tonnes, no part of them.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from diversion.cells import QuitCount
from diversion.curves import Curve, CurvePoint, Held, current_status, kaplan_meier
from diversion.errors import require_within
from diversion.settings import CURVE_MONTHS, CURVES_END_SINCE, FEWEST_BEHIND_A_CURVE, METHOD_VERSION


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
        What the mean is restricted to: three years, or as far as the curve goes.
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
        From yes-or-no answers, each at its month; None where fewer than five were given.
    followed : GoingOn or None
        Kaplan-Meier; None where nobody's day of stopping is known, or fewer than five were followed.
    followed_households, followed_quits, stopped_undated : int
        Behind the second curve.
    """

    households: int
    answered: GoingOn | None
    followed: GoingOn | None
    followed_households: int
    followed_quits: int
    stopped_undated: int


def persistence(
    quits: Sequence[QuitCount], following: Following, *, version: int = METHOD_VERSION
) -> Persistence:
    """Everything that the records say of how long households go on.

    Parameters
    ----------
    quits : sequence of QuitCount
    following : Following
    version : int
        Of the method. Since the fourth a curve ends where fewer than five households are behind it.

    Source
    ------
    That a curve stops while enough are still followed: Pocock, Clayton and Altman (2002), The Lancet 359: 1686-1689.
    That five are enough to be drawn is ours.
    """
    fewest = FEWEST_BEHIND_A_CURVE if version >= CURVES_END_SINCE else 1
    return Persistence(
        households=sum(count for _, count in following.in_use),
        answered=_from_answers(quits, following, fewest),
        followed=_from_days(following, fewest) if following.has_days else None,
        followed_households=following.households,
        followed_quits=following.quit,
        stopped_undated=following.stopped_undated,
    )


def _from_answers(quits: Sequence[QuitCount], following: Following, fewest: int) -> GoingOn | None:
    reach = _reach(((one.months, one.still + one.stopped) for one in quits), fewest)
    if reach is None:
        return None
    return _going_on(current_status([one for one in quits if one.months <= reach]), following, reach)


def _from_days(following: Following, fewest: int) -> GoingOn | None:
    reach = _reach(((one.months, one.quit + one.still) for one in following.held), fewest)
    if reach is None:
        return None
    points = [point for point in kaplan_meier(following.held).points if point.months <= reach]
    return _going_on(Curve(points=tuple(points)), following, reach) if points else None


def _reach(counts: Iterable[tuple[float, int]], fewest: int) -> float | None:
    """The last month that so many households reach; None where there are fewer in all."""
    behind = 0
    for months, count in sorted(counts, reverse=True):
        behind += count
        if behind >= fewest:
            return months
    return None


def _going_on(curve: Curve, following: Following, reach: float) -> GoingOn:
    to_months = min(CURVE_MONTHS, reach)
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
