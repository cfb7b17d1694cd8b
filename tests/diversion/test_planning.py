"""How many more answers, and from where."""

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diversion.errors import OutOfRange
from diversion.planning import (
    NothingToPlan,
    PlanStratum,
    allocate,
    answers_needed,
    call_next,
    call_order,
    pooled_cv,
    relative_half_width,
    spreads,
)

Z = 1.6448536


def make_stratum(**differences) -> PlanStratum:
    facts = {
        "name": "one",
        "household_weeks": 1300.0,
        "kg_per_week": 4.0,
        "sd_kg_per_week": 6.0,
        "answers": 20,
        "households": 100,
    }
    return PlanStratum(**{**facts, **differences})


TWO = [make_stratum(), make_stratum(name="two", household_weeks=3900.0, answers=20, households=300)]


def make_drawn(weeks: float, kg: float, answers: int, more: int) -> PlanStratum:
    return make_stratum(household_weeks=weeks, kg_per_week=kg, answers=answers, households=answers + more)


COUNTS = st.integers(1, 60), st.integers(0, 200)
STRATA = st.lists(
    st.builds(make_drawn, st.sampled_from([0.0, 1.0, 90.5, 1e5]), st.sampled_from([0.0, 0.1, 50.0]), *COUNTS),
    min_size=1,
    max_size=5,
)
EXPOSED = st.lists(
    st.builds(make_drawn, st.floats(1, 1e4), st.floats(0.1, 50), *COUNTS), min_size=2, max_size=4
)


def test_the_pooled_coefficient_weighs_strata_by_their_answers():
    """By hand: n 3 and 2, s 3 and 5, R 2 and 1: √((2·9 + 1·25)/(2·4 + 1·1)) = √(43/9)."""
    strata = [
        make_stratum(answers=3, sd_kg_per_week=3.0, kg_per_week=2.0),
        make_stratum(answers=2, sd_kg_per_week=5.0, kg_per_week=1.0),
    ]

    assert pooled_cv(strata) == pytest.approx(math.sqrt(43 / 9))


def test_half_width_of_one_stratum_by_hand():
    """z·cv·√(1/n − 1/2N), cv 1.5, n 20, N 100; the added answer at the overall mean changes nothing here."""
    assert relative_half_width([make_stratum()], cv=1.5) == pytest.approx(
        Z * 1.5 * math.sqrt(1 / 20 - 1 / 200), rel=1e-6
    )


def test_answers_go_where_weeks_times_spread_is_larger():
    """Neyman by hand: spreads 1 : 3, so 160 answers in all are 40 : 120, of which 20 each are there."""
    assert allocate(TWO, 120) == (20, 100)
    assert call_next(TWO, calls=120) == (("two", 100), ("one", 20))


def test_no_stratum_gives_more_than_it_has():
    """The ceiling: of 360 wanted, the first can give 80 at most."""
    assert allocate(TWO, 1000) == (80, 280)
    assert allocate(TWO, 0) == (0, 0)
    assert call_next(TWO, calls=0) == ()


def test_a_stratum_without_exposure_is_not_called():
    assert allocate([make_stratum(household_weeks=0.0), make_stratum()], 1000) == (0, 80)
    assert allocate([make_stratum(household_weeks=0.0)], 5) == (0,)


def test_a_stratum_whose_few_answers_are_all_nothing_is_not_forgotten():
    silent = make_stratum(name="nothing so far", kg_per_week=0.0, answers=5)

    assert spreads([make_stratum(), silent])[1] > 0
    assert allocate([make_stratum(), silent], 100)[1] > 0


@given(STRATA, st.integers(0, 400))
def test_an_allocation_spends_what_it_can_and_never_more(strata, more):
    extra = allocate(strata, more)

    room = sum(s.unanswered for s, w in zip(strata, spreads(strata), strict=True) if w > 0)
    assert sum(extra) == min(more, room)
    assert all(0 <= n <= s.unanswered for n, s in zip(extra, strata, strict=True))


@given(EXPOSED, st.integers(1, 60))
def test_moving_one_answer_to_another_stratum_gains_nothing(strata, more):
    extra = list(allocate(strata, more))
    best = _variance(strata, extra)

    for giver in range(len(strata)):
        for taker in range(len(strata)):
            moved = list(extra)
            moved[giver] -= 1
            moved[taker] += 1
            if giver != taker and extra[giver] > 0 and moved[taker] <= strata[taker].unanswered:
                assert _variance(strata, moved) >= best * (1 - 1e-9)


def _variance(strata, extra):
    return sum(w**2 / (s.answers + n) for s, w, n in zip(strata, spreads(strata), extra, strict=True))


def test_a_plan_reaches_the_width_with_no_answer_to_spare():
    plan = answers_needed(TWO, wanted_half_width=0.25)

    assert plan.reachable
    assert plan.half_width_then <= 0.25 < plan.half_width_now
    fewer = [
        replace(s, answers=s.answers + extra)
        for s, extra in zip(TWO, allocate(TWO, plan.answers - 1), strict=True)
    ]
    assert relative_half_width(fewer, cv=pooled_cv(TWO)) > 0.25
    assert plan.calls(0.5) == 2 * plan.answers


def test_a_width_that_is_there_already_needs_nothing():
    plan = answers_needed(TWO, wanted_half_width=0.9)

    assert (plan.answers, plan.more, plan.half_width_then) == (0, (), plan.half_width_now)


def test_a_width_out_of_reach_says_so_and_asks_everybody():
    plan = answers_needed(TWO, wanted_half_width=0.001)

    assert not plan.reachable
    assert plan.answers == 360
    assert plan.half_width_then > 0.001


def test_without_any_spread_there_is_nothing_to_plan():
    with pytest.raises(NothingToPlan, match="first round"):
        answers_needed([make_stratum(kg_per_week=0.0)], wanted_half_width=0.2)
    with pytest.raises(NothingToPlan):
        pooled_cv([make_stratum(answers=1)])


@pytest.mark.parametrize(
    "make",
    [
        lambda: make_stratum(answers=0),
        lambda: make_stratum(answers=101),
        lambda: make_stratum(kg_per_week=-1.0),
        lambda: allocate(TWO, -1),
        lambda: answers_needed(TWO, wanted_half_width=0.0),
        lambda: answers_needed(TWO, wanted_half_width=0.5).calls(0.0),
    ],
)
def test_numbers_outside_their_range_are_refused(make):
    with pytest.raises(OutOfRange):
        make()


@given(EXPOSED, st.integers(0, 120))
def test_taken_one_by_one_the_calls_are_those_of_the_allocation(strata, calls):
    named = [replace(one, name=str(place)) for place, one in enumerate(strata)]

    order = call_order(named, calls=calls)

    assert len(order) == min(calls, sum(one.unanswered for one in named))
    spread = [order.count(one.name) for one in named]
    cv = 1.0
    then = [replace(one, answers=one.answers + more) for one, more in zip(named, spread, strict=True)]
    best = [
        replace(one, answers=one.answers + more)
        for one, more in zip(named, allocate(named, calls), strict=True)
    ]
    # Of strata that gain alike either may come first; what is gained is the same.
    assert relative_half_width(then, cv=cv) == pytest.approx(relative_half_width(best, cv=cv), rel=1e-9)


def test_the_first_calls_go_where_one_answer_weighs_most():
    """By hand: T R is three times as large in the second, with 20 answers each. 9/((20 + n)(21 + n)) is above 1/(20·21)
    up to n = 40 and below from n = 41 on, 61·62 being the first above 9·420 = 3780."""
    order = call_order(TWO, calls=60)

    assert order[:42] == (*["two"] * 41, "one")
    assert call_order(TWO, calls=0) == ()
    assert call_order([make_stratum(answers=100)], calls=3) == ()
    with pytest.raises(OutOfRange):
        call_order(TWO, calls=-1)
