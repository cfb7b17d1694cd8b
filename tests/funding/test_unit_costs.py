"""Cents for each household, bin and tonne. Expectations by hand; limits by dividing the ends."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from outreach.funding.unit_costs import each, per_tonne


@pytest.mark.parametrize(
    ("cents", "count", "expected"), [(1000, 3, 333), (5, 2, 3), (1000, 0, None), (0, 4, 0)]
)
def test_cents_for_each(cents, count, expected):
    assert each(cents, count) == expected


def test_the_most_tonnes_make_the_least_a_tonne():
    """$6,000 for 12 t, between 10 and 15 t: $500 a tonne, between $400 and $600."""
    cost = per_tonne(600_000, tonnes=12.0, low=10.0, high=15.0)

    assert (cost.cents, cost.low_cents, cost.high_cents) == (50_000, 40_000, 60_000)


def test_where_it_may_have_been_nothing_a_tonne_has_no_upper_limit():
    cost = per_tonne(600_000, tonnes=12.0, low=0.0, high=15.0)

    assert cost.high_cents is None
    assert cost.low_cents == 40_000


def test_no_tonnes_have_no_cost_each():
    assert per_tonne(600_000, tonnes=0.0, low=None, high=None).cents is None


@pytest.mark.parametrize("ends", [(12.0, 15.0, 10.0), (12.0, 13.0, 15.0), (-1.0, -2.0, 3.0)])
def test_ends_out_of_order_are_refused(ends):
    tonnes, low, high = ends

    with pytest.raises(ValueError, match="from low to high"):
        per_tonne(600_000, tonnes=tonnes, low=low, high=high)


@given(st.integers(1, 10**9), st.tuples(*[st.floats(0.001, 1e6)] * 3).map(sorted))
def test_the_cost_a_tonne_lies_within_its_limits(cents, ends):
    low, tonnes, high = ends

    cost = per_tonne(cents, tonnes=tonnes, low=low, high=high)

    assert cost.low_cents <= cost.cents <= cost.high_cents
