"""Which delivery a bin came from: a textbook's example, each rule by hand, and what holds whatever happens."""

import datetime
from collections import Counter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from outreach.bins.first_in_first_out import (
    Delivery,
    Happening,
    Shelves,
    What,
    next_orders,
    replay,
    shelves_of,
)

DAY = datetime.date(2025, 3, 1)
A, B = 1, 2


def on(days):
    return DAY + datetime.timedelta(days=days)


def came(order, quantity, day=0):
    return Happening(what=What.CAME, on=on(day), quantity=quantity, order_id=order)


def went(*handouts, day=1):
    return [Happening(what=What.WENT, on=on(day), handout_id=handout) for handout in handouts]


def came_back(handout, day=2):
    return Happening(what=What.CAME_BACK, on=on(day), handout_id=handout)


def changed(quantity, day=1):
    return Happening(what=What.CHANGED, on=on(day), quantity=quantity)


def test_a_textbook_example():
    """OpenStax, Principles of Accounting, volume 1 (2019), section 10.3, first-in first-out, perpetual: bought 150
    at $21, sold 120, bought 225 at $27, sold 180, bought 210 at $33. Sold for cost $7,200; left $8,955.
    From memory; the sums were redone by hand: 120·21 + 30·21 + 150·27 = 7,200 and 75·27 + 210·33 = 8,955.
    """
    price = {1: 21, 2: 27, 3: 33}
    story = [came(1, 150), *went(*range(120), day=4), came(2, 225, 9)]
    story += [*went(*range(120, 300), day=14), came(3, 210, 24)]

    orders = replay(story)
    left = shelves_of(
        [
            Delivery(order_id=order, received_on=on(day), quantity=quantity)
            for order, quantity, day in ((1, 150, 0), (2, 225, 9), (3, 210, 24))
        ],
        handed_out=Counter(orders.values()),
        on_hand=150 + 225 + 210 - 300,
    ).contents()

    assert sum(price[order] for order in orders.values()) == 7200
    assert sum(price[one.order_id] * one.quantity for one in left) == 8955


def test_what_was_written_off_was_the_oldest():
    story = [came(A, 2), came(B, 2), *went(10), changed(-1), *went(11)]

    assert replay(story) == {10: A, 11: B}


def test_what_is_found_again_makes_good_for_what_was_missed():
    story = [came(A, 2), came(B, 2), changed(-2), changed(1), *went(10, 11)]

    assert replay(story) == {10: A, 11: B}


def test_bins_that_no_delivery_explains_go_first():
    story = [changed(2), came(A, 2), *went(10, 11, 12)]

    assert replay(story) == {10: None, 11: None, 12: A}


def test_a_bin_that_came_back_is_of_its_own_delivery_and_leaves_next():
    story = [came(A, 1), came(B, 2), *went(10, 11), came_back(10), *went(12, 13, day=3)]

    assert replay(story) == {10: A, 11: B, 12: A, 13: B}


def test_bins_of_a_delivery_without_an_order_stand_in_line_with_the_others():
    story = [came(None, 1), came(A, 1), *went(10, 11)]

    assert replay(story) == {10: None, 11: A}


def test_an_order_pays_for_no_bin_that_was_gone_before_it_came():
    story = [*went(10, 11), came(A, 3, 5), *went(12, day=6)]

    assert replay(story) == {10: None, 11: None, 12: A}


def test_a_bin_entered_late_is_of_no_later_delivery():
    shelves = shelves_of([Delivery(order_id=A, received_on=on(5), quantity=3)], handed_out={}, on_hand=3)

    assert next_orders(shelves, [on(1), on(6)]) == [None, A]


def test_nothing_is_left_on_an_empty_shelf():
    assert Shelves().take(DAY) is None
    assert Shelves().contents() == []


@st.composite
def stories(draw):
    """Deliveries, handouts, returns and counts of one model, in any order, a day apart."""
    story, out = [], []
    kinds = draw(st.lists(st.sampled_from(["came", "went", "back", "changed"]), max_size=40))
    for day, kind in enumerate(kinds):
        if kind == "came":
            story.append(came(draw(st.sampled_from([A, B, 3, None])), draw(st.integers(1, 5)), day))
        elif kind == "went":
            story += went(day, day=day)
            out.append(day)
        elif kind == "back" and out:
            story.append(came_back(out.pop(draw(st.integers(0, len(out) - 1))), day))
        elif kind == "changed":
            story.append(changed(draw(st.integers(-3, 3)), day))
    return story


def still_out(story):
    back = {one.handout_id for one in story if one.what is What.CAME_BACK}
    return [one.handout_id for one in story if one.what is What.WENT and one.handout_id not in back]


@given(stories())
def test_no_order_gives_more_bins_than_came_of_it(story):
    orders = replay(story)
    received = Counter()
    for one in story:
        received[one.order_id] += one.quantity if one.what is What.CAME else 0

    gone = Counter(orders[handout] for handout in still_out(story))

    assert all(gone[order] <= received[order] for order in (A, B, 3))


@given(stories())
def test_what_lies_there_and_what_was_handed_out_is_never_more_than_came(story):
    orders = replay(story)
    deliveries = [
        Delivery(order_id=one.order_id, received_on=one.on, quantity=one.quantity)
        for one in story
        if one.what is What.CAME
    ]
    signs = {What.CAME: 1, What.WENT: -1, What.CAME_BACK: 1, What.CHANGED: 1}
    on_hand = sum(signs[one.what] * one.quantity for one in story)
    gone = Counter(orders[handout] for handout in still_out(story))

    left = Counter()
    for one in shelves_of(deliveries, handed_out=gone, on_hand=on_hand).contents():
        left[one.order_id] += one.quantity

    for order in (A, B, 3):
        received = sum(one.quantity for one in deliveries if one.order_id == order)
        assert left[order] + gone[order] <= received
    assert sum(left.values()) <= max(on_hand, 0)


@given(stories(), st.integers(1, 6))
def test_one_by_one_as_they_happen_is_the_same_as_all_again(story, quantity):
    """Without deliveries of no order, which cannot be told from bins of no delivery, the two agree."""
    story = [one for one in story if one.what is not What.CAME or one.order_id is not None]
    day = len(story) + 50
    orders = replay([*story, came(A, quantity, day), *went(999, day=day)])
    deliveries = [
        Delivery(order_id=one.order_id, received_on=one.on, quantity=one.quantity)
        for one in [*story, came(A, quantity, day)]
        if one.what is What.CAME
    ]
    signs = {What.CAME: 1, What.WENT: -1, What.CAME_BACK: 1, What.CHANGED: 1}
    on_hand = quantity + sum(signs[one.what] * one.quantity for one in story)
    gone = Counter(orders[handout] for handout in still_out(story))

    shelves = shelves_of(deliveries, handed_out=gone, on_hand=on_hand)

    assert next_orders(shelves, [on(day)]) == [orders[999]]


@pytest.mark.parametrize("on_hand", [-3, 0])
def test_a_bin_that_leaves_an_empty_shelf_is_of_no_order(on_hand):
    shelves = shelves_of(
        [Delivery(order_id=A, received_on=DAY, quantity=2)], handed_out={A: 2}, on_hand=on_hand
    )

    assert next_orders(shelves, [on(1)]) == [None]
