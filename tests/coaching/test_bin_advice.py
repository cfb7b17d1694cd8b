"""Which bin: families, room and dates."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from outreach.bins.models import BinModel
from outreach.coaching import bin_advice
from outreach.coaching.bin_advice import Needs, NothingExpected, Tending
from outreach.coaching.families import Family, Ground, Space, Sun, Verdict, families_for

START = date(2026, 3, 1)


def needs(**differences):
    usual = {
        "ground": Ground.SOIL,
        "sun": Sun.PART,
        "space": Space.ONE,
        "tending": Tending.TURNED,
        "food_litres": 8,
        "yard_litres": 20,
    }
    return Needs(**(usual | differences))


def verdict(family, **differences):
    found = families_for(needs(**differences).place)
    return next(one.verdict for one in found if one.family is family)


def test_families_are_those_of_the_bin_models():
    assert {one.value for one in Family} == set(BinModel.Family.values)


def test_an_open_floor_wants_ground_and_paving_wants_a_floor():
    assert verdict(Family.RIGID) is Verdict.SUITS
    assert verdict(Family.RIGID, ground=Ground.PAVED) is Verdict.WITH_CARE
    assert verdict(Family.MESH, ground=Ground.PAVED) is Verdict.NOT_HERE
    assert verdict(Family.TUMBLER, ground=Ground.PAVED, yard_litres=0) is Verdict.SUITS


@given(st.floats(0.05, 0.99))
def test_the_mean_share_left_is_the_integral(left):
    """Identity: the mean of s^t over 0 to 1, integrated numerically by SciPy."""
    assert bin_advice.mean_share_left(left) == pytest.approx(quad(lambda t: left**t, 0, 1)[0])


@given(st.floats(1, 500), st.floats(1, 500), st.floats(0.1, 200))
def test_room_grows_with_what_is_put_in(food, yard, more):
    def room(of):
        return bin_advice.advise(needs(food_litres=of, yard_litres=yard), on=START).capacity_litres

    assert room(food + more).typical > room(food).typical
    assert room(food + more).high > room(food).high


def test_the_second_bin_is_swapped_after_twice_the_time_and_dates_are_in_order():
    schedule = bin_advice.advise(needs(yard_litres=60), on=START).schedule
    full, ready, swap = (days[1] for days in (schedule.first_full, schedule.first_ready, schedule.swap))

    assert START < full < ready
    assert abs((swap - START).days - 2 * (full - START).days) <= 1
    assert schedule.bins >= 2


def test_little_never_fills_a_bin():
    schedule = bin_advice.advise(needs(food_litres=4, yard_litres=0), on=START).schedule

    assert schedule.one_is_enough


def test_nothing_expected_is_refused_in_words():
    with pytest.raises(NothingExpected, match="how much food"):
        needs(food_litres=0, yard_litres=0)
