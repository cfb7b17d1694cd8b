"""Joining thin strata."""

from collections import defaultdict

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diversion.strata import CellCount, CellKey, TooFewAnswers, join


def cells_of(answers, households):
    return [
        CellCount(
            key=CellKey(jurisdiction=str(j), family=str(f), band=b), answers=n, households=households[j][f][b]
        )
        for j, families in enumerate(answers)
        for f, bands in enumerate(families)
        for b, n in enumerate(bands)
    ]


def in_one_band(*answers, households=20, band=2):
    """Cells of one band from (jurisdiction, family, answers)."""
    return [
        CellCount(key=CellKey(jurisdiction=j, family=f, band=band), answers=n, households=households)
        for j, f, n in answers
    ]


def members(groups):
    return [tuple(f"{cell.key.jurisdiction}{cell.key.family}" for cell in group.cells) for group in groups]


def test_three_jurisdictions_families_and_bands_join_as_designed():
    """Sixty-one answers of 143 households become eight groups; worked out by the designers of the method.

    Band 0-6 has two answers in all, so it joins 6-12 whole. In 12-24 the third jurisdiction, with one answer, joins
    the band's largest group: of three with six, the first. In 24+ the thin third family of the first jurisdiction and
    the third jurisdiction join each other.
    """
    households = [
        [[4, 10, 12, 20], [3, 6, 9, 10], [2, 2, 4, 6]],
        [[2, 4, 6, 9], [1, 3, 4, 6], [1, 1, 2, 3]],
        [[1, 1, 2, 3], [0, 1, 1, 2], [0, 0, 1, 1]],
    ]
    answers = [
        [[1, 5, 6, 9], [1, 3, 4, 5], [0, 1, 2, 3]],
        [[0, 2, 3, 4], [0, 1, 2, 3], [0, 0, 1, 1]],
        [[0, 0, 1, 1], [0, 1, 0, 1], [0, 0, 0, 0]],
    ]
    expected = [
        [[0, 0, 1, 4], [0, 0, 2, 5], [0, 0, 2, 7]],
        [[0, 0, 3, 6], [0, 0, 3, 6], [0, 0, 3, 6]],
        [[0, 0, 1, 7], [None, 0, 1, 7], [None, None, 1, 7]],
    ]

    groups = join(cells_of(answers, households))

    number = {cell.key: place for place, group in enumerate(groups) for cell in group.cells}
    found = [
        [
            [number.get(CellKey(jurisdiction=str(j), family=str(f), band=b)) for b in range(4)]
            for f in range(3)
        ]
        for j in range(3)
    ]
    counts = [(group.answers, group.households) for group in groups]
    assert found == expected
    assert counts == [(15, 42), (7, 16), (6, 13), (6, 12), (9, 20), (5, 10), (8, 18), (5, 12)]


def test_strata_with_enough_answers_stand_alone():
    assert members(join(in_one_band(("A", "mesh", 5), ("A", "rigid", 9)))) == [("Amesh",), ("Arigid",)]


def test_of_two_largest_groups_a_family_that_stands_alone_goes_before_joined_ones():
    groups = join(in_one_band(("A", "a", 3), ("A", "b", 5), ("A", "c", 2), ("B", "a", 1)))

    assert members(groups) == [("Ab", "Ba"), ("Aa", "Ac")]


def test_the_oldest_band_joins_the_next_younger():
    young, old = in_one_band(("A", "a", 6), band=2), in_one_band(("A", "a", 4), band=3)

    (group,) = join(young + old)

    assert (group.answers, group.bands) == (10, (2, 3))


def test_thin_bands_pile_up_until_there_are_enough():
    cells = [cell for band in range(4) for cell in in_one_band(("A", "a", 2), band=band)]

    (group,) = join(cells)

    assert (group.answers, group.bands) == (8, (0, 1, 2, 3))


def test_a_stratum_without_households_is_left_out():
    groups = join(in_one_band(("A", "a", 6)) + in_one_band(("B", "a", 0), households=0))

    assert members(groups) == [("Aa",)]


def test_four_answers_are_too_few_for_any_estimate():
    with pytest.raises(
        TooFewAnswers, match="4 answers in force are too few for an estimate: 5 are needed"
    ) as caught:
        join(in_one_band(("A", "a", 3), ("B", "a", 1)))

    assert (caught.value.answers, caught.value.needed) == (4, 5)


def test_one_answer_is_spoken_of_as_one():
    with pytest.raises(TooFewAnswers, match="1 answer in force is too few for an estimate"):
        join(in_one_band(("A", "a", 1)))


def test_how_many_answers_were_needed_is_said_where_it_is_not_the_usual_number():
    with pytest.raises(TooFewAnswers, match="7 are needed") as caught:
        join(in_one_band(("A", "a", 6)), fewest=7)

    assert caught.value.needed == 7


counts = st.integers(0, 12)


@settings(deadline=None)
@given(
    st.dictionaries(
        st.tuples(st.sampled_from("ABC"), st.sampled_from("mrt"), st.integers(0, 3)), counts, min_size=1
    )
)
def test_every_stratum_is_in_one_group_and_no_group_is_thin(answers):
    cells = [
        CellCount(key=CellKey(jurisdiction=j, family=f, band=b), answers=n, households=n + 3)
        for (j, f, b), n in answers.items()
    ]
    if sum(answers.values()) < 5:
        with pytest.raises(TooFewAnswers):
            join(cells)
        return

    groups = join(cells)

    seen = defaultdict(int)
    for group in groups:
        for cell in group.cells:
            seen[cell.key] += 1
    assert set(seen) == {cell.key for cell in cells}
    assert set(seen.values()) == {1}
    assert min(group.answers for group in groups) >= 5
    assert sum(group.households for group in groups) == sum(cell.households for cell in cells)
