"""How many more answers narrow the interval, and from which strata (Neyman's allocation with a ceiling).

Spread is taken as one pooled coefficient of variation: the deviation of five answers of a stratum is noise. More
answers narrow sampling only, and say nothing about the silent (`silence_planning`) or the factors (`draws`).
"""

import heapq
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from diversion.errors import DiversionError, require_within
from diversion.intervals import multiplier
from diversion.settings import ALIKE_WITHIN, CORRECTION_SHARE, NEGLIGIBLE_SPREAD, PLAN_BISECTIONS


class NothingToPlan(DiversionError):
    """No stratum composts anything that could be estimated; gather a first round of answers."""

    reason = "No answer so far reports anything composted, so that no spread is known. Gather a first round."

    def __init__(self) -> None:
        super().__init__(self.reason)


class NoSpread(NothingToPlan):
    """All answers are alike, so that nothing says how far more of them would narrow anything."""

    reason = (
        "All answers are alike; no spread can be measured, so that nothing says how many more are needed. "
        "Ask a few more households."
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanStratum:
    """What planning needs to know of a stratum.

    Parameters
    ----------
    name : str
    household_weeks : float
        Exposure of all its households (T_h). [weeks]
    kg_per_week : float
        Estimated mean per household-week (R_h). [kg]
    sd_kg_per_week : float
        Standard deviation of its answers. [kg]
    answers : int
        In force (n_h), at least 1.
    households : int
        With a bin (N_h), at least `answers`.
    """

    name: str
    household_weeks: float
    kg_per_week: float
    sd_kg_per_week: float
    answers: int
    households: int

    def __post_init__(self) -> None:
        require_within(f"household_weeks of {self.name}", self.household_weeks, 0)
        require_within(f"kg_per_week of {self.name}", self.kg_per_week, 0)
        require_within(f"sd_kg_per_week of {self.name}", self.sd_kg_per_week, 0)
        require_within(f"answers of {self.name}", self.answers, 1, self.households)

    @property
    def unanswered(self) -> int:
        """Households without an answer in force: the ceiling of what more can be had."""
        return self.households - self.answers


def pooled_cv(strata: Sequence[PlanStratum]) -> float:
    """One coefficient of variation for all strata.

    Returns
    -------
    float
        sqrt(Σ(n − 1)s² / Σ(n − 1)R²)

    Raises
    ------
    NothingToPlan
        If no stratum of two answers or more reports anything, or all report the same.
    """
    spread = math.fsum((s.answers - 1) * s.sd_kg_per_week**2 for s in strata)
    level = math.fsum((s.answers - 1) * s.kg_per_week**2 for s in strata)
    if not level > 0:
        raise NothingToPlan
    if spread <= ALIKE_WITHIN**2 * level:
        raise NoSpread
    return math.sqrt(spread / level)


def relative_half_width(strata: Sequence[PlanStratum], *, cv: float) -> float:
    """Half-width of the 90 % interval over the estimate, with the answers that the strata have.

    Source
    ------
    Step 7 of the method with the spread of `spreads`: V = ΣT²(1 − n/2N) S²/n.
    """
    estimate = math.fsum(s.household_weeks * s.kg_per_week for s in strata)
    variance = math.fsum(
        (cv * spread) ** 2 * (1 / s.answers - CORRECTION_SHARE / s.households)
        for s, spread in zip(strata, spreads(strata), strict=True)
    )
    return multiplier(math.inf) * math.sqrt(variance) / estimate


def spreads(strata: Sequence[PlanStratum]) -> list[float]:
    """T_h S_h of each stratum for a coefficient of variation of 1.

    One answer's worth of the overall mean is added to each stratum, so that one whose few answers happen to be
    all nothing is not forgotten.
    """
    weeks = math.fsum(s.household_weeks for s in strata)
    total = math.fsum(s.household_weeks * s.kg_per_week for s in strata)
    overall = total / weeks if weeks > 0 else 0.0
    return [s.household_weeks * (s.answers * s.kg_per_week + overall) / (s.answers + 1) for s in strata]


def allocate(strata: Sequence[PlanStratum], more: int) -> tuple[int, ...]:
    """Where so many more answers narrow the interval most.

    Parameters
    ----------
    strata : sequence of PlanStratum
    more : int
        Answers to be had, at least 0; what exceeds the unanswered households of strata with exposure is left
        out.

    Returns
    -------
    tuple of int, length of `strata`
        Never more than a stratum's unanswered households.

    Source
    ------
    Neyman (1934), J. R. Statist. Soc. 97 (4), 558-625: n_h in proportion to T_h S_h; answers already there
    are kept, so that the total is found by bisection, and the last few go one by one to where each gains
    most.
    """
    require_within("more answers", more, 0)
    weights = _relative(spreads(strata))
    more = min(more, sum(s.unanswered for s, w in zip(strata, weights, strict=True) if w > 0))
    low, high = (
        0.0,
        max((s.households / w for s, w in zip(strata, weights, strict=True) if w > 0), default=0.0),
    )
    for _ in range(PLAN_BISECTIONS):
        middle = (low + high) / 2
        low, high = (middle, high) if sum(_extra(strata, weights, middle)) <= more else (low, middle)
    extra = _extra(strata, weights, low)
    while sum(extra) < more:
        gains = [
            _gain(w, s.answers + n) if n < s.unanswered else -1.0
            for s, w, n in zip(strata, weights, extra, strict=True)
        ]
        extra[gains.index(max(gains))] += 1
    return tuple(extra)


def _relative(weights: Sequence[float]) -> list[float]:
    largest = max(weights, default=0.0)
    return [w / largest if w > NEGLIGIBLE_SPREAD * largest else 0.0 for w in weights]


def _extra(strata: Sequence[PlanStratum], weights: Sequence[float], scale: float) -> list[int]:
    """More answers of each stratum whose gain w²/n(n + 1) is at least 1/scale²."""
    wanted = [1 / 2 + math.hypot(1 / 2, scale * w) for w in weights]
    return [
        min(max(int(n) - s.answers, 0), s.unanswered) if w > 0 else 0
        for s, w, n in zip(strata, weights, wanted, strict=True)
    ]


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerPlan:
    """How many more answers, from which strata, and how wide the interval then is.

    Parameters
    ----------
    wanted_half_width, half_width_now, half_width_then : float
        Relative to the estimate; 0.2 is ± 20 %.
    more : tuple of (str, int)
        Stratum and answers to be had from it, most first; those with none are left out.
    reachable : bool
        Whether the wanted width can be reached even if every household answers.
    """

    wanted_half_width: float
    half_width_now: float
    half_width_then: float
    more: tuple[tuple[str, int], ...]
    reachable: bool

    @property
    def answers(self) -> int:
        """More answers in all."""
        return sum(count for _, count in self.more)

    def calls(self, answering_share: float) -> int:
        """Calls to make if that share of them brings an answer, above 0 and at most 1."""
        require_within("answering_share", answering_share, math.ulp(0.0), 1)
        return math.ceil(self.answers / answering_share)


def answers_needed(strata: Sequence[PlanStratum], *, wanted_half_width: float) -> AnswerPlan:
    """The fewest more answers that bring the 90 % interval to a wanted half-width.

    Parameters
    ----------
    strata : sequence of PlanStratum, at least one
    wanted_half_width : float
        Relative to the estimate, above 0.

    Returns
    -------
    AnswerPlan
        With every unanswered household where even that does not reach the width.

    Raises
    ------
    NothingToPlan, OutOfRange
    """
    require_within("wanted_half_width", wanted_half_width, math.ulp(0.0))
    cv = pooled_cv(strata)
    few, many = 0, sum(s.unanswered for s in strata)
    reachable = _width_with(strata, many, cv) <= wanted_half_width
    while reachable and few < many:
        middle = (few + many) // 2
        few, many = (
            (few, middle) if _width_with(strata, middle, cv) <= wanted_half_width else (middle + 1, many)
        )
    more = allocate(strata, many)
    named = sorted(zip((s.name for s in strata), more, strict=True), key=lambda entry: -entry[1])
    return AnswerPlan(
        wanted_half_width=wanted_half_width,
        half_width_now=relative_half_width(strata, cv=cv),
        half_width_then=_width_with(strata, many, cv),
        more=tuple(entry for entry in named if entry[1]),
        reachable=reachable,
    )


def _width_with(strata: Sequence[PlanStratum], more: int, cv: float) -> float:
    then = [
        replace(s, answers=s.answers + extra) for s, extra in zip(strata, allocate(strata, more), strict=True)
    ]
    return relative_half_width(then, cv=cv)


def call_next(strata: Sequence[PlanStratum], *, calls: int) -> tuple[tuple[str, int], ...]:
    """From which strata to call so many households next, most calls first; within one, pick at random."""
    named = zip((s.name for s in strata), allocate(strata, calls), strict=True)
    return tuple(sorted((entry for entry in named if entry[1]), key=lambda entry: -entry[1]))


def call_order(strata: Sequence[PlanStratum], *, calls: int) -> tuple[str, ...]:
    """From which stratum to take each of so many calls, the one that narrows the interval most first.

    Parameters
    ----------
    strata : sequence of PlanStratum
    calls : int
        At least 0; what exceeds the unanswered households of strata with exposure is left out.

    Returns
    -------
    tuple of str
        Names; however many are taken from its front, no others would narrow more. Of strata that gain alike the
        first is called.

    Source
    ------
    As `allocate`: the n-th answer more of a stratum with a of them takes (T_h S_h)²/((a + n - 1)(a + n)) off the
    variance.
    """
    require_within("calls", calls, 0)
    weights = _relative(spreads(strata))
    waiting = [
        (-_gain(w, s.answers), place)
        for place, (s, w) in enumerate(zip(strata, weights, strict=True))
        if w > 0 and s.unanswered
    ]
    heapq.heapify(waiting)
    taken = [0] * len(strata)
    order: list[str] = []
    while waiting and len(order) < calls:
        _, place = heapq.heappop(waiting)
        one = strata[place]
        order.append(one.name)
        taken[place] += 1
        if taken[place] < one.unanswered:
            heapq.heappush(waiting, (-_gain(weights[place], one.answers + taken[place]), place))
    return tuple(order)


def _gain(weight: float, answers: int) -> float:
    return weight**2 / (answers * (answers + 1))
