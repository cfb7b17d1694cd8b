"""Cells of sums refuse what cannot be."""

import pytest

from diversion.cells import AnswerCell, BadCell, QuitCount
from tests.factories.diversion import Answer, make_answers, make_exposure


@pytest.mark.parametrize(
    ("differences", "reason"),
    [
        ({"band": 4}, "4 is not a band"),
        ({"band": -1}, "-1 is not a band"),
        ({"unasked_households": 11}, "more households not yet asked than households"),
        ({"unasked_households": -1}, "more households not yet asked"),
        ({"unasked_days": 911}, "more days not yet asked than days"),
        ({"households": 10, "days": 9}, "fewer exposed days than households"),
    ],
)
def test_exposure_that_contradicts_itself_is_refused(differences, reason):
    with pytest.raises(BadCell, match=reason) as caught:
        make_exposure(**differences)

    assert caught.value.where.startswith("exposure in A/1, mesh")


GOOD = [Answer(food=20, yard=10), Answer(food=40, yard=30)]


@pytest.mark.parametrize(
    ("differences", "reason"),
    [
        ({"band": 7}, "7 is not a band"),
        ({"food_trash_percent": 80, "food_composted_percent": 30}, "over 100 % together"),
        ({"yard_trash_percent": -1}, "negative or over 100"),
        ({"yard_trash_percent": 101}, "negative or over 100"),
        ({"food_in": "barrels"}, "barrels, volume or not_said is not known"),
        ({"prior": "perhaps"}, "volume, volume or perhaps is not known"),
        ({"gap_months": -1}, "a negative gap"),
        ({"quarter_asked": 5}, "5 is not a calendar quarter"),
        ({"still_composting": False}, "households that stopped"),
        ({"food_given": False}, "an amount of food from households that stopped or gave none"),
        ({"yard_given": False}, "an amount of yard trimmings from households"),
    ],
)
def test_a_key_that_contradicts_the_sums_is_refused(differences, reason):
    with pytest.raises(BadCell, match=reason) as caught:
        make_answers(GOOD, **differences)

    assert "Check the records and gather again" in str(caught.value)
    assert reason in str(caught.value)


SUMS = (
    "answers",
    "days",
    "days_sq",
    "days_food",
    "days_yard",
    "days_sq_food",
    "days_sq_yard",
    "days_sq_food_sq",
    "days_sq_yard_sq",
    "days_sq_food_yard",
)


def summed(**sums):
    fields = {name: getattr(make_answers(GOOD), name) for name in SUMS} | sums
    return AnswerCell(jurisdiction="A", district="1", family="mesh", band=1, **fields)


@pytest.mark.parametrize("name", SUMS)
def test_a_sum_that_overflowed_is_noticed(name):
    """A sum that wrapped around 63 bits, or was mixed up with a smaller one, breaks an inequality of sums."""
    with pytest.raises(BadCell):
        summed(**{name: getattr(make_answers(GOOD), name) - 2**63})
    if name != "answers" and not name.endswith("_sq"):
        with pytest.raises(BadCell):
            summed(**{name: 2**62})


def test_a_cell_without_answers_is_refused():
    with pytest.raises(BadCell, match="each answer has at least one exposed day"):
        summed(answers=0)


@pytest.mark.parametrize("counts", [(-1, 1, 1), (1, -1, 1), (1, 1, -1)])
def test_negative_counts_of_quitting_are_refused(counts):
    months, still, stopped = counts

    with pytest.raises(BadCell, match="a negative number"):
        QuitCount(months=months, still=still, stopped=stopped)


def test_a_sum_of_squares_too_small_for_its_sum_is_noticed():
    with pytest.raises(BadCell, match="larger than its sum of squares allows"):
        summed(days_sq_food_sq=1)


@pytest.mark.parametrize("amounts", [{"food": -5}, {"yard": -5}])
def test_negative_amounts_are_refused_even_where_their_sums_agree(amounts):
    with pytest.raises(BadCell, match="a negative amount"):
        make_answers([Answer(**amounts)] * 2)
