"""Corrections and decisions: new rows, who and when, and what is in force afterwards."""

import datetime
from datetime import date

import pytest
from django.core.exceptions import ValidationError

from outreach.bins.models.handouts import NO_END_DAY
from outreach.followup import reviewing
from outreach.followup.answer_reading import AnswerAsGiven
from outreach.followup.answering import record_answer
from outreach.followup.models import Answer
from tests.factories.bins import make_handout

pytestmark = [pytest.mark.django_db, pytest.mark.postgres]
AT = datetime.datetime(2026, 6, 1, 19, tzinfo=datetime.UTC)
LATER = datetime.datetime(2026, 6, 2, 19, tzinfo=datetime.UTC)
DAY = date(2025, 11, 9)


@pytest.fixture
def home():
    return make_handout(handed_on=date(2025, 5, 9)).household


def _given(home, **differences):
    fields = {"answered_on": DAY, "composting": "yes", "channel": "paper", "food_text": "2 gallons"}
    return AnswerAsGiven(household=home, **fields | differences)


@pytest.fixture
def record(home, coordinator):
    def recording(**differences):
        return record_answer(given=_given(home, **differences), by=coordinator, at=AT).answer

    return recording


@pytest.fixture
def settle(coordinator):
    def settling(answer, outcome):
        return reviewing.settle_review(answer=answer, outcome=outcome, by=coordinator, at=LATER)

    return settling


def test_a_correction_is_a_new_row_in_place_of_the_old(home, record, coordinator):
    old = record()

    new = reviewing.correct_answer(
        answer=old, given=_given(home, food_text="3 gallons"), by=coordinator, at=LATER
    )

    old.refresh_from_db()
    assert (old.is_current, old.in_force_until_day, old.standing) == (False, 0, "restated")
    assert (new.corrects, new.wave, new.in_force_until_day) == (old, old.wave, NO_END_DAY)
    assert old.food_as_written == "2 gallons"


def test_a_corrected_answer_is_not_corrected_twice(home, record, coordinator):
    old = record()
    reviewing.correct_answer(answer=old, given=_given(home, food_text="1 lb"), by=coordinator, at=LATER)

    with pytest.raises(ValidationError, match="already corrected or set aside"):
        reviewing.correct_answer(answer=old, given=_given(home), by=coordinator, at=LATER)

    assert Answer.objects.count() == 2


def test_taking_the_paper_of_a_corrected_answer_in_again_adds_nothing(home, record, coordinator):
    old = record()
    reviewing.correct_answer(answer=old, given=_given(home, food_text="1 lb"), by=coordinator, at=LATER)

    again = record_answer(given=_given(home), by=coordinator, at=LATER)

    assert again.was_known
    assert Answer.objects.count() == 2


def test_an_answer_may_count_as_it_is(record, settle, coordinator):
    waiting = record(food_text="a lot", yard_text="2 gallons")

    counted = settle(waiting, "count")

    assert (counted.reviewed_by, counted.reviewed_at) == (coordinator, LATER)
    assert (counted.in_force_until_day, counted.food_ml_per_week) == (NO_END_DAY, None)
    assert counted in Answer.objects.counting()
    assert "a lot" in counted.review_reason  # kept as history


def test_an_answer_set_aside_never_counts_and_stays(record, settle):
    aside = settle(record(food_text="a lot"), "set_aside")

    assert (aside.is_current, aside.in_force_until_day, aside.standing) == (False, 0, "set_aside")
    assert list(Answer.objects.set_aside()) == [aside]


def test_an_answer_is_reviewed_once(record, settle):
    counted = settle(record(food_text="a lot"), "count")

    with pytest.raises(ValidationError, match="Someone has already looked"):
        settle(counted, "set_aside")


def test_of_two_answers_of_a_day_the_one_let_count_replaces_the_other(record, settle):
    first, second = record(), record(food_text="3 gallons")

    counted = settle(second, "count")

    first.refresh_from_db()
    assert (first.is_current, first.in_force_until_day) == (False, 0)
    assert (counted.corrects, counted.wave.months_after) == (first, 6)
    assert counted.in_force_until_day == NO_END_DAY


def test_a_correction_that_is_doubtful_waits_in_review(home, record, coordinator):
    old = record()

    new = reviewing.correct_answer(answer=old, given=_given(home, food_text="lots"), by=coordinator, at=LATER)

    assert new.waits
    assert not Answer.objects.counting().exists()
