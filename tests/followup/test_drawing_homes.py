"""Drawing households at random: in proportion, repeatable, and fair."""

import datetime
from collections import Counter

import pytest
from django.core.exceptions import ValidationError
from scipy.stats import chisquare

from outreach.followup.drawing_homes import Home, allotted, draw, homes_with_a_bin
from tests.factories.bins import make_stay
from tests.factories.households import make_household
from tests.factories.places import make_jurisdiction

DAY = datetime.date(2026, 3, 1)
SIZES = {("Millrace", "mesh"): 60, ("Millrace", "tumbler"): 25, ("Quillby", "mesh"): 15}
HOMES = [
    Home(number=number, stratum=stratum)
    for number, stratum in enumerate((s for s, n in SIZES.items() for _ in range(n)), start=1)
]


def test_each_stratum_gets_its_share_by_largest_remainders():
    """10 of 100: quotas 6, 2.5 and 1.5; of the two equal remainders the first by name has the tenth.

    Largest remainders (Hamilton's method): Balinski and Young (1982), Fair Representation. From memory.
    """
    assert allotted(SIZES, size=10) == {
        ("Millrace", "mesh"): 6,
        ("Millrace", "tumbler"): 3,
        ("Quillby", "mesh"): 1,
    }


@pytest.mark.parametrize("size", [1, 7, 20, 99, 100])
def test_a_draw_has_its_size_and_nobody_twice(size):
    drawn = draw(HOMES, size=size, seed=11)
    numbers = drawn.numbers

    assert len(set(numbers)) == len(numbers) == size
    assert drawn.drawn_from == len(HOMES)
    strata = Counter(home.stratum for home in HOMES if home.number in numbers)
    assert strata == {key: n for key, n in allotted(SIZES, size=size).items() if n}


def test_the_same_seed_draws_the_same_whatever_the_order_of_the_rows():
    assert draw(HOMES, size=20, seed=5) == draw(HOMES[::-1], size=20, seed=5)
    assert draw(HOMES, size=20, seed=5) != draw(HOMES, size=20, seed=6)


def test_a_larger_draw_holds_the_smaller():
    one_stratum = [Home(number=home.number, stratum=("Millrace", "mesh")) for home in HOMES]

    assert draw(one_stratum, size=30, seed=5).numbers[:12] == draw(one_stratum, size=12, seed=5).numbers


def test_over_many_seeds_everybody_is_drawn_alike_often():
    """Pearson's test on how often each of 60 households of one stratum is drawn in 2,000 draws of 6."""
    homes = HOMES[:60]
    times = Counter(number for seed in range(2000) for number in draw(homes, size=6, seed=seed).numbers)

    # Without replacement the counts vary by a tenth less than Pearson's test expects.
    statistic, _p = chisquare([times[home.number] for home in homes])
    assert 20 < statistic / 0.9 < 110


def test_the_order_of_a_draw_is_that_of_the_digests():
    """SHA-256 of 'seed:number' by GNU sha256sum: 0384… for 5:2, a588… for 5:1, bc2e… for 5:3."""
    homes = [Home(number=number, stratum=("Millrace", "mesh")) for number in (1, 2, 3)]

    assert draw(homes, size=3, seed=5).numbers == (2, 1, 3)


def test_more_than_there_are_cannot_be_drawn():
    with pytest.raises(ValidationError, match="Only 100 households have a bin in use"):
        draw(HOMES, size=101, seed=1)


@pytest.mark.django_db
def test_only_households_served_with_a_bin_in_use_that_day_are_drawn_from():
    here = make_jurisdiction()
    served = make_stay(household=make_household(jurisdiction=here))
    make_stay(household=make_household(jurisdiction=None))
    make_stay(household=make_household(jurisdiction=here), from_day=DAY.toordinal() + 1)
    make_stay(
        household=make_household(jurisdiction=here), until_day=DAY.toordinal(), ended_because="returned"
    )
    listed = make_stay(household=make_household(jurisdiction=here))

    homes = list(homes_with_a_bin(on=DAY, jurisdiction=here, without=[listed.household_id]))

    assert homes == [Home(number=served.household_id, stratum=(here.name, "mesh"))]
    assert list(homes_with_a_bin(on=DAY, jurisdiction=make_jurisdiction(name="Elsewhere"))) == []
