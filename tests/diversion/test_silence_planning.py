"""What chasing a random few of the silent would settle."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from diversion.errors import OutOfRange
from diversion.silence_planning import Silence, chase


def make_silence(**differences) -> Silence:
    facts = {"from_answerers": 4.0, "alike": 10.0, "still_composting": 0.72, "silent_households": 200}
    return Silence(**{**facts, **differences})


def test_the_present_range_is_that_of_the_odds_rule():
    """Reference: at p 0.72 the silent count 0.781250 at odds 2 and 0.543478 at odds 4 of what alike would be."""
    silence = make_silence()

    assert silence.at_odds(1) == pytest.approx(10)
    assert silence.at_odds(2) == pytest.approx(4 + 6 * 0.781250, abs=1e-6)
    assert silence.at_odds(4) == pytest.approx(4 + 6 * 0.543478, abs=1e-5)
    found = chase(silence, chased=40, share_guessed=0.5)
    assert (found.now_low, found.now_high) == (pytest.approx(silence.at_odds(4)), pytest.approx(10))


@pytest.mark.parametrize("odds", [1, 2, 4])
def test_a_share_of_the_silent_is_the_same_statement_as_odds(odds):
    p = 0.72
    share = p / (p + odds * (1 - p))

    assert make_silence().at_share(share) == pytest.approx(make_silence().at_odds(odds))


def test_limits_after_chasing_by_hand():
    """n 40 of 200 silent, share 0.5: t₃₉ √(0.25/39 · 0.8) either way; 6/0.72 tonnes for each unit of share."""
    found = chase(make_silence(), chased=40, share_guessed=0.5)

    half = stats.t.ppf(0.95, 39) * (0.25 / 39 * 0.8) ** 0.5
    assert found.then_low == pytest.approx(4 + 6 / 0.72 * (0.5 - half))
    assert found.then_high == pytest.approx(4 + 6 / 0.72 * (0.5 + half))
    assert found.part_settled == pytest.approx(
        max(1 - (found.then_high - found.then_low) / (found.now_high - found.now_low), 0)
    )


@given(st.integers(2, 200), st.floats(0, 1))
def test_chasing_everybody_leaves_nothing_open(silent, share):
    found = chase(make_silence(silent_households=silent), chased=silent, share_guessed=share)

    assert found.then_low == pytest.approx(found.then_high)
    assert found.part_settled == pytest.approx(1)


def test_limits_stay_between_nobody_and_everybody():
    found = chase(make_silence(), chased=2, share_guessed=0.5)

    assert (found.then_low, found.then_high) == (4, pytest.approx(4 + 6 / 0.72))
    assert found.part_settled == 0


def test_where_everybody_composts_there_is_no_range_to_settle():
    assert chase(make_silence(still_composting=1.0), chased=10, share_guessed=0.9).part_settled == 0


@pytest.mark.parametrize(
    "make",
    [
        lambda: make_silence(alike=3.0),
        lambda: make_silence(still_composting=0.0),
        lambda: make_silence(silent_households=-1),
        lambda: chase(make_silence(), chased=201, share_guessed=0.5),
        lambda: chase(make_silence(), chased=1, share_guessed=0.5),
        lambda: chase(make_silence(), chased=10, share_guessed=1.5),
    ],
)
def test_numbers_outside_their_range_are_refused(make):
    with pytest.raises(OutOfRange):
        make()
