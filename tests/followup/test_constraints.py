"""Every rule of waves and answers that the database holds, broken through the ORM, with its sentence."""

import datetime

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction
from django.utils import timezone

from outreach.bins.models.handouts import NO_END_DAY
from outreach.followup.models import MOST_ML, Wave
from tests.factories.followup import make_answer, make_wave
from tests.factories.households import make_household

pytestmark = [pytest.mark.django_db, pytest.mark.postgres]
TOO_MUCH = MOST_ML + 1

BROKEN = [
    ({"food_ml_per_week": TOO_MUCH}, "Food scraps are from 0 to 1000 litres"),
    ({"food_ml_per_week": None, "food_g_per_week": TOO_MUCH}, "Food scraps are from 0 to 1000 kg"),
    ({"yard_ml_per_week": TOO_MUCH}, "Yard trimmings are from 0 to 1000 litres"),
    ({"yard_g_per_week": TOO_MUCH}, "Yard trimmings are from 0 to 1000 kg"),
    ({"food_g_per_week": 5}, "Give food scraps as a volume or as a weight"),
    ({"yard_ml_per_week": 5, "yard_g_per_week": 5}, "Give yard trimmings as a volume or as a weight"),
    ({"food_trash_percent": 50}, "Say for food scraps both"),
    ({"yard_composted_percent": 50}, "Say for yard trimmings both"),
    ({"food_trash_percent": 60, "food_composted_percent": 41}, "composted food scraps cannot be more"),
    ({"yard_trash_percent": 60, "yard_composted_percent": 41}, "composted yard trimmings cannot be more"),
    ({"reviewed_at": timezone.now()}, "Say who reviewed the answer"),
    ({"in_force_from_day": 0, "in_force_until_day": 5}, "in force from one day until a later one"),
    ({"in_force_from_day": 9, "in_force_until_day": 9}, "in force from one day until a later one"),
    ({"is_current": False}, "in force from one day until a later one"),
    ({"review_reason": "absurd"}, "An answer that waits in review is not in force"),
    ({"composting": "stopped"}, "A household that stopped composts nothing"),
]


@pytest.mark.parametrize(("differences", "sentence"), BROKEN)
def test_a_broken_answer_is_refused_by_form_and_database(differences, sentence):
    answer = make_answer()
    for name, value in differences.items():
        setattr(answer, name, value)

    with pytest.raises(ValidationError, match=sentence):
        answer.full_clean()
    with pytest.raises(IntegrityError), transaction.atomic():
        answer.save()


def _refused(answer, sentence):
    with pytest.raises(ValidationError, match=sentence):
        answer.full_clean()
    with pytest.raises(IntegrityError), transaction.atomic():
        answer.save()


def test_a_household_answers_a_wave_once():
    first = make_answer(wave=make_wave())
    second = make_answer(
        household=first.household, in_force_from_day=0, in_force_until_day=0, wave=make_wave(months_after=12)
    )
    second.wave = first.wave

    _refused(second, "already answered this wave")


def test_a_household_has_one_latest_answer():
    first = make_answer()
    second = make_answer(household=first.household, in_force_from_day=0, in_force_until_day=0)
    second.in_force_from_day, second.in_force_until_day = 739_000, NO_END_DAY

    _refused(second, "Another answer of this household is already the latest")


def test_an_answer_is_corrected_once():
    old = make_answer(is_current=False, in_force_from_day=0, in_force_until_day=0)
    make_answer(household=old.household, corrects=old)
    again = make_answer(household=make_household())
    again.corrects = old

    _refused(again, "already")


@pytest.mark.parametrize("months", [0, 121])
def test_a_wave_is_due_within_ten_years(months):
    wave = Wave(months_after=months, name="odd")

    with pytest.raises(ValidationError, match="from 1 to 120 months"):
        wave.full_clean()
    with pytest.raises(IntegrityError), transaction.atomic():
        wave.save()


def test_a_programme_starts_with_four_waves():
    assert list(Wave.objects.values_list("months_after", flat=True)) == [3, 6, 12, 24]


def test_the_answers_of_a_stopped_household_are_nothing():
    answer = make_answer(composting="stopped", answered_on=datetime.date(2025, 11, 9))

    answer.full_clean()
    assert (answer.food_ml_per_week, answer.yard_ml_per_week, answer.is_active) == (0, 0, False)
