"""Small counts in published tables, attacked with linear bounds by somebody who knows the rule and the totals."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import linprog

from diversion.figures import Part
from outreach.filings.suppressing import merged_codes, published

COUNTS = st.dictionaries(st.sampled_from("abcdefgh"), st.integers(1, 40), min_size=2)


def attacked(counts, merged, smallest):
    """Least and most that each small merged count can be, by linear programs over everything that is known."""
    members = sorted(merged)
    everything = len(members) == len(counts)
    small = [code for code in members if counts[code] < smallest]
    # Where all rows are merged nobody can tell which are small; else the strongest attacker knows even that.
    bounds = [
        (0, None) if everything else (0, smallest - 1) if code in small else (smallest, None)
        for code in members
    ]
    total = sum(counts[code] for code in members)
    found = {}
    for code in small:
        aim = np.array([float(one == code) for one in members])
        ends = [
            linprog(sign * aim, A_eq=[np.ones(len(members))], b_eq=[total], bounds=bounds, method="highs")
            for sign in (1, -1)
        ]
        found[code] = (ends[0].fun, -ends[1].fun)
    return found


@given(COUNTS, st.integers(2, 10))
def test_no_small_count_can_be_pinned(counts, smallest):
    merged = merged_codes(counts, smallest=smallest)

    for code, (least, most) in attacked(counts, merged, smallest).items():
        assert most - least >= smallest - 1 or most - least >= sum(counts.values()), code
        assert least <= counts[code] <= most


@given(COUNTS, st.integers(2, 10))
def test_every_small_count_is_merged_and_never_alone_unless_it_is_all(counts, smallest):
    merged = merged_codes(counts, smallest=smallest)

    assert {code for code, count in counts.items() if count < smallest} <= merged
    assert len(merged) != 1 or len(counts) == 1
    assert bool(merged) == any(count < smallest for count in counts.values())


def test_three_of_four_would_give_each_away_so_the_next_is_merged_too():
    """4 + 4 + 4 = 12 with none over 4 says that each is 4."""
    assert merged_codes({"a": 4, "b": 4, "c": 4, "d": 30, "e": 31}, smallest=5) == {"a", "b", "c", "d"}


def test_large_counts_all_stand():
    assert merged_codes({"a": 5, "b": 17}, smallest=5) == frozenset()


def part(code, households, dimension="district", answers=9):
    return Part(
        dimension=dimension,
        code=code,
        households=households,
        household_weeks=13.0 * households,
        answers=answers,
        figures=(),
    )


def test_districts_are_merged_within_their_jurisdiction_whose_total_is_known():
    parts = [part("Quillby/1", 3), part("Quillby/2", 40), part("Ferrow/1", 50), part("Ferrow/2", 60)]

    shown = {one.code: one.households for one in published(parts, smallest=5)}

    assert shown == {"Quillby/other": 43, "Ferrow/1": 50, "Ferrow/2": 60}


def test_totals_stay_what_they_were():
    parts = [part(f"Quillby/{n}", n + 1) for n in range(12)]

    shown = published(parts, smallest=5)

    assert sum(one.households for one in shown) == sum(one.households for one in parts)
    assert sum(one.household_weeks for one in shown) == pytest.approx(sum(p.household_weeks for p in parts))


def test_few_answers_of_a_place_are_not_shown_for_any():
    shown = published([part("a", 30, "family", answers=2), part("b", 40, "family", answers=20)], smallest=5)

    assert [one.answers for one in shown] == [-1, -1]
