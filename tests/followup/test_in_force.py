"""From which day until which an answer is its household's latest, whatever the order of recording."""

import datetime
from datetime import date, timedelta

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from outreach.bins.models.handouts import NO_END_DAY
from outreach.followup import in_force
from outreach.followup.answer_reading import AnswerAsGiven
from outreach.followup.answering import record_answer
from outreach.followup.models import Answer
from outreach.households import merging
from tests.factories.bins import make_handout
from tests.factories.followup import make_answer, make_wave
from tests.factories.households import make_household

pytestmark = [pytest.mark.django_db, pytest.mark.postgres]
AT = datetime.datetime(2027, 6, 1, 19, tzinfo=datetime.UTC)
FIRST = date(2025, 6, 1)
NEVER = {"in_force_from_day": 0, "in_force_until_day": 0}


def _days(*answers):
    rows = Answer.objects.in_bulk([answer.pk for answer in answers])
    found = [rows[answer.pk] for answer in answers]
    return [(one.in_force_from_day, one.in_force_until_day) for one in found]


def _on(*days):
    return [day.toordinal() for day in days]


def test_each_answer_is_in_force_until_the_next():
    home = make_household()
    days = [date(2025, 6, 1), date(2025, 9, 1), date(2026, 1, 1)]
    answers = [make_answer(household=home, answered_on=day, **NEVER) for day in days]

    assert in_force.rebuild([home.pk]) == 3

    june, september, january = _on(*days)
    assert _days(*answers) == [(june, september), (september, january), (january, NO_END_DAY)]
    assert in_force.rebuild([home.pk]) == 0


def test_an_answer_in_review_or_corrected_is_passed_over():
    home = make_household()
    first = make_answer(household=home, answered_on=FIRST, **NEVER)
    waiting = make_answer(household=home, answered_on=date(2025, 9, 1), review_reason="absurd", **NEVER)
    corrected = make_answer(household=home, answered_on=date(2025, 10, 1), is_current=False, **NEVER)

    in_force.rebuild([home.pk])

    assert _days(first, waiting, corrected) == [(FIRST.toordinal(), NO_END_DAY), (0, 0), (0, 0)]


def test_of_two_on_one_day_the_one_received_later_is_in_force():
    home = make_household()
    late = make_answer(household=home, received_on=date(2025, 12, 1), **NEVER)
    early = make_answer(household=home, **NEVER)

    in_force.rebuild([home.pk])

    assert _days(early) == [(0, 0)]
    assert _days(late)[0][1] == NO_END_DAY


def test_a_check_finds_and_repairs_days_that_are_out_of_step():
    answer = make_answer(**NEVER)
    make_answer()

    assert in_force.differing() == [
        f"Answer {answer.pk} has other days in force than its household's answers give."
    ]
    in_force.rebuild_all()
    assert in_force.differing() == []


def test_merging_puts_answers_of_both_in_one_order_and_undoing_sets_everything_back(coordinator):
    kept, absorbed, wave = make_household(), make_household(), make_wave()
    march, may = date(2026, 3, 1), date(2026, 5, 1)
    first = make_answer(household=kept, answered_on=march, wave=wave)
    second = make_answer(household=absorbed, answered_on=may, wave=wave)
    before = list(Answer.objects.order_by("pk").values())

    record = merging.merge(kept=kept, absorbed=absorbed, by=coordinator, at=AT, reason="One home")
    merged = _days(first, second)
    merging.unmerge(record=record, by=coordinator, at=AT)

    assert merged == [tuple(_on(march, may)), (may.toordinal(), NO_END_DAY)]
    assert list(Answer.objects.order_by("pk").values()) == before


def test_what_was_answered_while_merged_goes_back_with_its_household(coordinator):
    kept, absorbed = make_household(), make_household()
    merge = merging.merge(kept=kept, absorbed=absorbed, by=coordinator, at=AT, reason="the same home")
    between = make_answer(household=absorbed, counted_under=kept)

    merging.unmerge(record=merge, by=coordinator, at=AT)

    between.refresh_from_db()
    assert between.counted_under == absorbed
    assert between.in_force_until_day == NO_END_DAY


offsets = st.lists(st.integers(0, 700), min_size=1, max_size=7, unique=True)


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.data(), offsets)
def test_the_order_of_recording_does_not_matter(db, data, days):
    """Answers on different days, some repeating what another says, some stopped, some unreadable."""
    texts = data.draw(
        st.lists(st.sampled_from(["1 gallon", "2 gallons", "a lot"]), min_size=len(days), max_size=len(days))
    )
    order = data.draw(st.permutations(range(len(days))))
    homes = [make_handout(handed_on=date(2025, 3, 1)).household for _number in range(2)]

    for home, sequence in zip(homes, (range(len(days)), order), strict=True):
        for number in sequence:
            record_answer(given=_said(home, days[number], texts[number]), by=None, at=AT)

    in_order, shuffled = (_in_force_of(home) for home in homes)
    assert in_order == shuffled
    assert in_force.differing() == []


def _said(home, offset, text):
    day = FIRST + timedelta(days=offset)
    return AnswerAsGiven(household=home, answered_on=day, composting="yes", channel="paper", food_text=text)


def _in_force_of(home):
    answers = Answer.objects.counted_for(home).filter(in_force_from_day__gt=0)
    return sorted(answers.values_list("in_force_from_day", "in_force_until_day", "food_ml_per_week"))
