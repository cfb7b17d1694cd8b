"""A change split into its causes: exact, order-free, and exact again once rounded."""

from decimal import Decimal
from fractions import Fraction
from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diversion.bridge import (
    ANSWERS,
    CALIBRATION,
    LONGER_HOLDING,
    METHOD,
    MORE_HOUSEHOLDS,
    Bridge,
    BridgePart,
    Drivers,
    TooManyParts,
    bridge,
    shapley,
)
from diversion.errors import OutOfRange
from diversion.materials import Material

FOOD, YARD = Material.FOOD, Material.YARD


def make_drivers(**differences) -> Drivers:
    facts = {
        "households": 100,
        "weeks_per_household": 12.5,
        "litres_per_household_week": {FOOD: 8.0, YARD: 20.0},
        "kg_per_household_week": {FOOD: 0.5, YARD: 0.0},
        "kg_per_litre": {FOOD: 0.327, YARD: 0.1483},
        "figure_per_kg": {FOOD: 0.001, YARD: 0.001},
    }
    return Drivers(**{**facts, **differences})


def changes(found: Bridge) -> dict[str, Fraction]:
    return {part.name: part.change for part in found.parts}


AMOUNT = st.floats(0, 1e4)
BY_MATERIAL = st.fixed_dictionaries({FOOD: AMOUNT, YARD: AMOUNT})
DRIVERS = st.builds(
    Drivers,
    households=st.integers(1, 10**6),
    weeks_per_household=st.floats(0, 60),
    litres_per_household_week=BY_MATERIAL,
    kg_per_household_week=BY_MATERIAL,
    kg_per_litre=BY_MATERIAL,
    figure_per_kg=st.fixed_dictionaries({FOOD: st.floats(-10, 10), YARD: st.floats(-10, 10)}),
)


@given(DRIVERS, DRIVERS, st.integers(0, 6))
def test_parts_add_up_exactly_and_again_once_rounded(before, after, decimals):
    found = bridge(before, after)
    printed = found.rounded(decimals)

    assert found.before + sum(changes(found).values()) == found.after
    assert found.change == found.after - found.before
    assert printed.before + sum(number for _, number in printed.parts) == printed.after
    for (_, number), exact in zip(printed.parts, found.parts, strict=True):
        assert abs(Fraction(number) - exact.change) <= Fraction(2, 10**decimals)


@given(DRIVERS, DRIVERS)
def test_the_way_back_is_the_way_there_with_the_signs_turned(before, after):
    there, back = changes(bridge(before, after)), changes(bridge(after, before))

    assert there == {name: -change for name, change in back.items()}


@pytest.mark.parametrize(
    ("difference", "cause"),
    [
        ({"households": 140}, MORE_HOUSEHOLDS),
        ({"weeks_per_household": 10.0}, LONGER_HOLDING),
        ({"litres_per_household_week": {FOOD: 6.0, YARD: 20.0}}, ANSWERS),
        ({"kg_per_litre": {FOOD: 0.3, YARD: 0.1483}}, CALIBRATION),
        ({"figure_per_kg": {FOOD: 0.002, YARD: 0.001}}, METHOD),
    ],
)
def test_a_single_cause_carries_the_whole_change(difference, cause):
    found = bridge(make_drivers(), make_drivers(**difference))

    assert changes(found) == {
        name: found.change if name == cause else 0
        for name in (MORE_HOUSEHOLDS, LONGER_HOLDING, ANSWERS, CALIBRATION, METHOD)
    }
    assert found.change != 0


def test_two_causes_of_a_product_by_hand():
    """10 × 4 to 15 × 6: 5 × (4 + 6)/2 = 25 from the first, 2 × (10 + 15)/2 = 25 from the second; 40 + 50 = 90."""
    found = shapley({"count": (10, 15), "each": (4, 6)}, lambda now: now["count"] * now["each"])

    assert (found.before, found.after) == (40, 90)
    assert changes(found) == {"count": 25, "each": 25}


def test_parts_are_the_mean_over_all_orders():
    """The definition itself: what each cause adds when its turn comes, averaged over all orders."""
    causes = {"a": (2, 3), "b": (5, 7), "c": (1, 4)}

    def figure(now):
        return now["a"] * now["b"] + now["c"] ** now["a"]

    added = dict.fromkeys(causes, Fraction(0))
    for order in permutations(causes):
        now = {name: sides[0] for name, sides in causes.items()}
        for name in order:
            earlier = figure(now)
            now[name] = causes[name][1]
            added[name] += Fraction(figure(now) - earlier, 6)
    assert changes(shapley(causes, figure)) == added


def test_rounding_gives_the_missing_unit_to_the_part_that_was_rounded_most():
    """Three thirds of 1: 0.3 each is 0.9, so one part gets 0.4. By hand."""
    third = Fraction(1, 3)
    parts = tuple(BridgePart(name=name, change=third) for name in "abc")

    printed = Bridge(before=Fraction(0), after=Fraction(1), parts=parts).rounded(1)

    assert printed.parts == (("a", Decimal("0.4")), ("b", Decimal("0.3")), ("c", Decimal("0.3")))
    assert (printed.before, printed.after) == (Decimal("0.0"), Decimal("1.0"))


def test_rounding_takes_a_unit_too_many_away_again():
    parts = tuple(BridgePart(name=name, change=Fraction(2, 3)) for name in "abc")

    printed = Bridge(before=Fraction(0), after=Fraction(2), parts=parts).rounded(0)

    assert sorted(number for _, number in printed.parts) == [0, 1, 1]


def test_a_bridge_stays_short():
    with pytest.raises(TooManyParts, match="Join some") as refused:
        shapley({f"cause {number}": (0, 1) for number in range(9)}, lambda now: sum(now.values()))

    assert (refused.value.parts, refused.value.most) == (9, 8)


@pytest.mark.parametrize(
    "difference",
    [
        {"households": 0},
        {"weeks_per_household": -1.0},
        {"kg_per_litre": {FOOD: -0.1, YARD: 0.1}},
        {"figure_per_kg": {FOOD: float("nan"), YARD: 0.1}},
    ],
)
def test_drivers_outside_their_range_are_refused(difference):
    with pytest.raises(OutOfRange):
        make_drivers(**difference)
