"""Recording answers: read, assigned to a wave, kept once, doubtful ones put in review."""

import datetime
from datetime import date

import pytest

from diversion.quantities import Period
from outreach.bins.models.handouts import NO_END_DAY
from outreach.followup.answer_reading import AnswerAsGiven
from outreach.followup.answering import record_answer, record_answers
from outreach.followup.models import Answer
from tests.factories.bins import make_handout
from tests.factories.households import make_household

pytestmark = [pytest.mark.django_db, pytest.mark.postgres]
AT = datetime.datetime(2026, 6, 1, 19, tzinfo=datetime.UTC)
DAY = date(2025, 11, 9)


def _given(household, **differences):
    fields = {"answered_on": DAY, "composting": "yes", "channel": "export", "food_text": "2 gallons"}
    return AnswerAsGiven(household=household, **fields | differences)


@pytest.fixture
def home():
    """A household that took its bin home on 9 May 2025: its six-month wave is due on 9 November."""
    return make_handout(handed_on=date(2025, 5, 9)).household


@pytest.fixture
def record(coordinator):
    def recording(household, **differences):
        return record_answer(given=_given(household, **differences), by=coordinator, at=AT)

    return recording


def test_an_answer_is_read_and_in_force(home, record, coordinator):
    answer = Answer.objects.get(pk=record(home, yard_text="3 lb", before_text="Trash").answer.pk)

    assert answer.wave.months_after == 6
    assert answer.food_ml_per_week == 7571  # 2 US gallons of 3.785411784 L
    assert answer.yard_g_per_week == 1361  # 3 lb of 453.59237 g
    assert (answer.food_trash_percent, answer.yard_composted_percent) == (100, 0)
    assert (answer.in_force_from_day, answer.in_force_until_day) == (DAY.toordinal(), NO_END_DAY)
    assert (answer.entered_by, answer.entered_at, answer.received_on) == (coordinator, AT, DAY)
    answer.full_clean()


def test_a_month_is_turned_into_weeks(home, record):
    answer = record(home, food_text="2 gallons", per=Period.MONTH).answer

    assert answer.food_ml_per_week == round(2 * 3785.411784 * 12 / 52.1775)
    assert answer.asked_per == "month"


def test_stopped_is_nothing_at_all(home, record):
    answer = record(home, composting="stopped", food_text="").answer

    assert (answer.food_ml_per_week, answer.yard_ml_per_week) == (0, 0)
    assert not answer.waits


@pytest.mark.parametrize(
    ("differences", "reason"),
    [
        ({"food_text": "a lot"}, "is not an amount"),
        ({"yard_text": "depends"}, "is not an amount"),
        ({"food_text": "400 gallons"}, "more than the"),
        ({"before_text": "the neighbor"}, "no place in it is known"),
        ({"composting": "stopped", "food_text": "2 gallons"}, "they stopped, yet say '2 gallons'"),
        ({"stopped_on": DAY}, "yet say that they compost"),
        ({"composting": "stopped", "food_text": "", "stopped_on": date(2026, 1, 1)}, "stopped only after"),
        ({"answered_on": date(2026, 6, 2)}, "dated in the future"),
        ({"received_on": date(2025, 11, 8)}, "received before the day of the answer"),
        ({"doubt": "city and ZIP disagree"}, "city and ZIP disagree"),
    ],
)
def test_what_is_doubtful_waits_in_review_and_keeps_its_words(home, record, differences, reason):
    recorded = record(home, **differences)
    answer = Answer.objects.get(pk=recorded.answer.pk)

    assert recorded.is_in_review
    assert reason in answer.review_reason
    assert (answer.in_force_from_day, answer.in_force_until_day) == (0, 0)
    assert answer.food_as_written == differences.get("food_text", "2 gallons")
    answer.full_clean()


def test_whoever_composted_before_did_not_put_it_in_the_trash(record):
    home = make_household(composting_before="prior")

    assert record(home, before_text="Trash").is_in_review
    assert not record(make_household(composting_before="prior"), before_text="Green cart").is_in_review


def test_a_garbage_disposal_says_nothing_of_yard_trimmings(home, record):
    answer = record(home, before_text="Garbage disposal").answer

    assert (answer.food_trash_percent, answer.yard_trash_percent) == (0, None)


def test_sent_twice_is_one_answer(home, record):
    first = record(home)
    again = record(home, food_text="2 gal")

    assert again.was_known
    assert again.answer == first.answer
    assert Answer.objects.count() == 1


def test_the_same_answer_on_another_day_of_the_wave_is_one_from_the_earlier_day(home, record):
    later = record(home, answered_on=date(2025, 12, 1))
    earlier = record(home)

    assert earlier.was_known
    answer = Answer.objects.get()
    assert (answer.pk, answer.answered_on) == (later.answer.pk, DAY)
    assert answer.in_force_from_day == DAY.toordinal()


def test_the_same_answer_to_two_waves_is_two_answers(home, record):
    first = record(home).answer
    second = record(home, answered_on=date(2026, 5, 9)).answer

    first.refresh_from_db()
    assert [first.wave.months_after, second.wave.months_after] == [6, 12]
    assert first.in_force_until_day == second.in_force_from_day == date(2026, 5, 9).toordinal()


def test_something_else_on_the_same_day_is_kept_for_review(home, record):
    first = record(home).answer
    other = record(home, food_text="3 gallons")

    assert other.is_in_review
    assert "something else than the answer already recorded" in other.answer.review_reason
    first.refresh_from_db()
    assert first.in_force_until_day == NO_END_DAY


def test_something_else_later_in_the_same_wave_counts_from_its_day(home, record):
    first = record(home).answer
    second = record(home, answered_on=date(2025, 12, 1), food_text="3 gallons").answer

    first.refresh_from_db()
    assert (first.wave.months_after, second.wave) == (6, None)
    assert first.in_force_until_day == second.in_force_from_day


def test_an_answer_within_one_call_is_recorded_once(home):
    results = record_answers([_given(home), _given(home)], by=None, at=AT)

    assert [one.was_known for one in results] == [False, True]
    assert Answer.objects.get().pk == results[1].answer.pk


def test_each_result_has_the_number_of_its_own_row():
    homes = [make_household() for _number in range(5)]

    results = record_answers([_given(home) for home in homes], by=None, at=AT)

    for home, result in zip(homes, results, strict=True):
        assert Answer.objects.get(pk=result.answer.pk).household == home


def test_words_too_long_for_their_field_go_on_in_the_remarks(home, record):
    text = "it really depends on the season " * 12

    answer = record(home, food_text=text).answer

    answer.full_clean()
    assert text in answer.remarks


def test_the_number_of_statements_does_not_grow_with_the_rows(django_assert_max_num_queries):
    rows = [_given(make_household()) for _number in range(40)]

    with django_assert_max_num_queries(12):
        record_answers(rows, by=None, at=AT)
