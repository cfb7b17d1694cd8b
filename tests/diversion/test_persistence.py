"""How long households go on, from both kinds of knowledge; the references are worked on paper or lifelines'."""

import pytest
from lifelines import KaplanMeierFitter
from lifelines.utils import restricted_mean_survival_time

from diversion.cells import QuitCount
from diversion.curves import Held
from diversion.errors import OutOfRange
from diversion.persistence import Following, persistence

# Ten households: two quit in month 6, one in month 12; the others were last heard of in months 6, 12 and 24.
HELD = (
    Held(months=6, quit=2, still=1),
    Held(months=12, quit=1, still=2),
    Held(months=24, quit=0, still=4),
)
QUITS = (QuitCount(months=6, still=7, stopped=3), QuitCount(months=12, still=5, stopped=5))


def following(**differences) -> Following:
    return Following(**{"held": HELD, "stopped_undated": 1, "in_use": ((3, 10), (12, 20))} | differences)


@pytest.mark.parametrize(
    ("version", "to_months", "on_paper"),
    [
        # 6 months of everybody, 6 of 8/10, 12 of 8/10 times 6/7.
        (3, 24, 6 + 6 * 0.8 + 12 * 0.8 * 6 / 7),
        # Four households were followed beyond month 12: since the fourth version the curve ends there.
        (4, 12, 6 + 6 * 0.8),
    ],
)
def test_mean_months_are_the_area_under_the_curve_as_lifelines_has_it(version, to_months, on_paper):
    found = persistence(QUITS, following(), version=version)

    durations, events = [6] * 3 + [12] * 3 + [24] * 4, [1, 1, 0, 1, 0, 0, 0, 0, 0, 0]
    fitted = KaplanMeierFitter().fit(durations, events)
    assert found.followed.to_months == to_months
    assert found.followed.mean_months == pytest.approx(restricted_mean_survival_time(fitted, t=to_months))
    assert found.followed.mean_months == pytest.approx(on_paper)


def test_likely_active_are_the_households_of_each_month_at_the_curve():
    found = persistence(QUITS, following())

    assert found.households == 30
    assert found.followed.likely_active == pytest.approx(10 + 20 * 0.8 * 6 / 7)
    assert found.answered.likely_active == pytest.approx(10 + 20 * 0.5)
    for one in (found.answered, found.followed):
        assert one.likely_active_lower < one.likely_active < one.likely_active_upper


def test_a_household_newer_than_the_first_step_counts_whole():
    found = persistence(QUITS, following(in_use=((2, 7),)))

    assert found.followed.likely_active == found.followed.likely_active_lower == 7


def test_without_any_known_day_only_the_answers_speak():
    found = persistence(QUITS, following(stopped_undated=3))

    assert found.followed is None
    assert (found.followed_households, found.followed_quits, found.stopped_undated) == (10, 3, 3)
    assert found.answered.mean_months == pytest.approx(6 + 6 * 0.7)


def test_before_anybody_was_asked_there_is_neither_curve():
    found = persistence(
        (QuitCount(months=6, still=0, stopped=0),), following(held=(), stopped_undated=0, in_use=((3, 4),))
    )

    assert (found.answered, found.followed, found.households) == (None, None, 4)


def test_no_more_can_have_stopped_without_a_day_than_stopped():
    with pytest.raises(OutOfRange):
        following(stopped_undated=4)


def test_the_last_household_alone_does_not_take_a_curve_to_nothing():
    """Four remain in month 24; one of them quits in month 30, when it is the last: on paper, 6/7 of 8/10 stays."""
    held = (*HELD[:2], Held(months=24, quit=0, still=3), Held(months=30, quit=1, still=0))
    answers = (*QUITS, QuitCount(months=30, still=0, stopped=1))

    found = persistence(answers, following(held=held, in_use=((31, 10),)))

    assert [point.months for point in found.followed.curve.points] == [6, 12]
    assert found.followed.to_months == 12
    assert found.followed.likely_active == pytest.approx(10 * 0.8 * 6 / 7)
    assert found.followed.likely_active_lower > 0
    assert [point.months for point in found.answered.curve.points] == [6, 12]
    assert found.answered.likely_active == pytest.approx(5)


def test_what_earlier_versions_of_the_method_drew_stays_as_it_was():
    held = (*HELD[:2], Held(months=24, quit=0, still=3), Held(months=30, quit=1, still=0))
    answers = (*QUITS, QuitCount(months=30, still=0, stopped=1))

    found = persistence(answers, following(held=held, in_use=((31, 10),)), version=3)

    assert found.followed.curve.points[-1].share == 0
    assert (found.followed.to_months, found.followed.likely_active) == (30, 0)
    assert found.answered.curve.points[-1].share == 0


def test_fewer_than_five_draw_no_curve():
    few = following(held=(Held(months=6, quit=1, still=3),), stopped_undated=0)
    late = following(
        held=(Held(months=6, quit=0, still=3), Held(months=9, quit=1, still=2)), stopped_undated=0
    )

    found = persistence((QuitCount(months=6, still=3, stopped=1),), few)

    assert (found.answered, found.followed) == (None, None)
    assert persistence(QUITS, late).followed is None
