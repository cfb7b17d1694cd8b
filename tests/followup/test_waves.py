"""Which wave an answer belongs to, who is asked, who answered, who is silent."""

from datetime import date

import pytest

from outreach.followup import waves
from outreach.followup.models import Wave
from tests.factories.bins import make_handout
from tests.factories.followup import make_answer, make_wave
from tests.factories.households import make_household
from tests.factories.places import make_jurisdiction

pytestmark = [pytest.mark.django_db, pytest.mark.postgres]
HANDED = date(2025, 1, 31)
DUE_6 = date(2025, 7, 31)


@pytest.fixture
def six():
    return make_wave(months_after=6)


@pytest.mark.parametrize(
    ("answered_on", "months"),
    [
        (date(2025, 4, 29), None),
        (date(2025, 4, 30), 3),
        (date(2025, 7, 30), 3),
        (DUE_6, 6),
        (date(2026, 1, 30), 6),
        (date(2026, 1, 31), 12),
        (date(2035, 1, 1), 24),
    ],
)
def test_an_answer_belongs_to_the_latest_wave_that_was_due(answered_on, months):
    wave = waves.wave_of(HANDED, answered_on, waves.open_waves())

    assert (wave.months_after if wave else None) == months


def test_without_a_bin_there_is_no_wave():
    assert waves.wave_of(None, DUE_6, waves.open_waves()) is None


def test_a_wave_that_is_not_asked_gets_no_answers(six):
    Wave.objects.filter(pk=six.pk).update(is_open=False)

    assert waves.wave_of(HANDED, DUE_6, waves.open_waves()).months_after == 3


def test_the_first_handout_that_stands_decides(coordinator):
    home = make_household()
    voided = {"voided_at": "2025-02-01T00:00Z", "voided_by": coordinator, "slot": None}
    make_handout(household=home, handed_on=date(2024, 1, 1), **voided)
    make_handout(household=home, handed_on=date(2025, 3, 1), is_subsidised=False, slot=None)
    make_handout(household=home, handed_on=HANDED)

    assert waves.first_handouts([home.pk]) == {home.pk: HANDED}


def test_a_household_is_asked_from_the_due_day(six):
    home = make_handout(handed_on=HANDED).household

    assert not waves.asked(six, on=date(2025, 7, 30)).exists()
    assert waves.asked(six, on=DUE_6).get() == home
    assert waves.asked(six, on=date(2026, 7, 31), since=DUE_6).exists()
    assert not waves.asked(six, on=date(2026, 7, 31), since=date(2025, 8, 1)).exists()


@pytest.mark.parametrize(
    ("ended_on", "is_asked"), [(date(2025, 7, 30), 0), (DUE_6, 0), (date(2025, 8, 1), 1)]
)
def test_whoever_moved_before_it_was_due_is_not_asked(six, ended_on, is_asked):
    home = make_household(ended_on=ended_on, bin_after_move="unknown")
    make_handout(household=home, handed_on=HANDED)

    assert waves.asked(six, on=date(2025, 12, 31)).count() == is_asked


def test_a_move_on_the_last_day_of_a_shorter_month_is_a_move_on_the_due_day():
    """Handed out on 31 August, due on 28 February; gone that day, so never asked."""
    home = make_household(ended_on=date(2026, 2, 28), bin_after_move="unknown")
    make_handout(household=home, handed_on=date(2025, 8, 31))

    assert not waves.asked(make_wave(months_after=6), on=date(2026, 12, 31)).exists()


def test_asked_are_answered_in_review_or_silent(six):
    """By hand: four asked in one town; one answered, one waits in review, one's answer was set aside, one is
    silent: 4 asked, 1 answered, 1 in review, 2 silent, 25 %."""
    town = make_jurisdiction()
    homes = [make_household(jurisdiction=town) for _number in range(4)]
    for home in homes:
        make_handout(household=home, handed_on=HANDED)
    never = {"in_force_from_day": 0, "in_force_until_day": 0, "wave": six, "answered_on": DUE_6}
    make_answer(household=homes[0], wave=six, answered_on=DUE_6)
    make_answer(household=homes[1], review_reason="absurd", **never)
    make_answer(household=homes[2], is_current=False, **never)

    of_six = [one for one in waves.responses(on=date(2025, 12, 31)) if one.wave == six]

    assert [(one.jurisdiction, one.asked, one.answered, one.in_review, one.silent) for one in of_six] == [
        (town, 4, 1, 1, 2)
    ]
    assert of_six[0].percent == 25
    assert set(waves.silent(six, on=date(2025, 12, 31))) == set(homes[2:])
    assert set(waves.answered(six, on=date(2025, 12, 31))) == {homes[0]}


def test_an_answer_given_later_is_no_answer_yet(six):
    home = make_handout(handed_on=HANDED).household
    make_answer(household=home, wave=six, answered_on=date(2025, 9, 1))

    assert waves.silent(six, on=date(2025, 8, 31)).get() == home


def test_only_the_latest_wave_is_owed(six):
    home = make_handout(handed_on=HANDED).household

    assert waves.due(on=date(2025, 9, 1)).get() == home
    make_answer(household=home, wave=six, answered_on=date(2025, 9, 1))
    assert not waves.due(on=date(2025, 9, 1)).exists()
    assert waves.due(on=date(2026, 2, 1)).get() == home


def test_a_merged_household_is_asked_as_its_root(six):
    root = make_household()
    merged = make_household(merged_into=root)
    make_handout(household=merged, handed_on=HANDED)

    assert waves.asked(six, on=DUE_6).get() == root


def test_a_programme_that_asks_in_no_wave_is_owed_nothing():
    Wave.objects.update(is_open=False)

    assert waves.due(on=date(2025, 6, 1)).count() == 0
