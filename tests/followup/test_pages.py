"""The pages of follow-up, as people of each role use them."""

import datetime

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from outreach.followup.models import Answer, Wave
from outreach.staff.roles import Role
from tests.factories.bins import make_handout
from tests.factories.followup import make_answer
from tests.factories.households import make_household, make_participant

pytestmark = pytest.mark.django_db
NEVER = {"in_force_from_day": 0, "in_force_until_day": 0}
SAID = {"answered_on": "2025-11-09", "channel": "phone", "composting": "yes", "asked_per": "week"}


def _many(count):
    for _number in range(count):
        home = make_handout(handed_on=datetime.date(2025, 1, 1)).household
        make_participant(household=home)
        make_answer(household=home, food_as_written="two tubs of peelings")


@pytest.mark.parametrize("name", ["followup", "answers_review", "answer_choose", "waves"])
def test_more_rows_need_no_more_queries(name, as_coordinator):
    _many(2)
    Answer.objects.update(review_reason="absurd", **NEVER)
    with _counted() as few:
        assert as_coordinator.get(reverse(name)).status_code == 200
    _many(8)
    Answer.objects.update(review_reason="absurd", **NEVER)
    with _counted() as many:
        as_coordinator.get(reverse(name))

    assert len(many) == len(few)


def _counted():
    return CaptureQueriesContext(connection)


def test_an_answer_is_entered_by_hand(as_coordinator, coordinator):
    home = make_household()

    page = as_coordinator.post(
        reverse("answer_add", args=[home.pk]), SAID | {"food_as_written": "2 gallons"}, follow=True
    )

    answer = Answer.objects.get()
    assert page.redirect_chain[-1][0] == reverse("answer", args=[answer.pk])
    assert (answer.entered_by, answer.food_ml_per_week) == (coordinator, 7571)
    assert "The answer is recorded." in page.content.decode()


def test_what_is_missing_is_said_and_nothing_is_lost(as_coordinator):
    home = make_household()

    page = as_coordinator.post(
        reverse("answer_add", args=[home.pk]), {"food_as_written": "2 gallons", "answered_on": "2199-01-01"}
    )

    assert page.status_code == 422
    assert "This day is still to come" in page.content.decode()
    assert "2 gallons" in page.content.decode()
    assert not Answer.objects.exists()


def test_a_correction_starts_from_what_was_written(as_coordinator):
    old = make_answer(food_as_written="2 gallons", asked_per="month")
    address = reverse("answer_correct", args=[old.pk])

    form = as_coordinator.get(address).context["form"]
    page = as_coordinator.post(
        address,
        form.initial
        | SAID
        | {"food_as_written": "3 lb", "received_on": "", "participant": "", "stopped_on": ""},
        follow=True,
    )

    assert (form.initial["food_as_written"], form.initial["asked_per"]) == ("2 gallons", "month")
    assert page.status_code == 200
    assert Answer.objects.current().get().corrects == old


@pytest.mark.parametrize(("outcome", "current"), [("count", True), ("set_aside", False)])
def test_an_answer_in_review_is_settled_with_one_button(as_coordinator, coordinator, outcome, current):
    waiting = make_answer(review_reason="absurd", **NEVER)

    page = as_coordinator.post(reverse("answer_settle", args=[waiting.pk, outcome]), follow=True)

    waiting.refresh_from_db()
    assert page.redirect_chain[-1][0] == reverse("answers_review")
    assert (waiting.is_current, waiting.reviewed_by) == (current, coordinator)


def test_settling_goes_back_only_within_the_site(as_coordinator):
    waiting = make_answer(review_reason="absurd", **NEVER)

    page = as_coordinator.post(
        reverse("answer_settle", args=[waiting.pk, "count"]), {"back": "https://example.org/"}
    )

    assert page["Location"] == reverse("answers_review")


@pytest.mark.parametrize("role", [Role.CITY_ANALYST, Role.AUDITOR])
def test_analysts_and_auditors_read_without_names_or_words(as_role, role):
    home = make_household(street="77 Secret Lane")
    answer = make_answer(
        household=home,
        participant=make_participant(household=home, full_name="Ada Hidden"),
        food_as_written="two tubs of peelings",
        remarks="call my daughter",
        review_reason="they said two tubs",
        **NEVER,
    )
    client = as_role(role)

    for address in (reverse("followup"), reverse("answer", args=[answer.pk])):
        page = client.get(address)
        text = page.content.decode()
        assert page.status_code == 200
        for word in ("Secret", "Hidden", "tubs", "daughter"):
            assert word not in text


@pytest.mark.parametrize(
    "name", ["answers_review", "answer_choose", "answer_add", "answer_correct", "waves", "wave_add"]
)
@pytest.mark.parametrize("role", [Role.CITY_ANALYST, Role.AUDITOR, Role.DOOR_CREW])
def test_only_the_office_enters_and_reviews(as_role, role, name):
    answer = make_answer()
    arguments = {"answer_add": [answer.household_id], "answer_correct": [answer.pk]}.get(name, [])

    assert as_role(role).get(reverse(name, args=arguments)).status_code == 403


def test_the_list_narrows_through_htmx_to_its_rows(as_coordinator):
    make_answer(composting="stopped")
    make_answer(composting="yes")

    page = as_coordinator.get(reverse("followup"), {"composting": "stopped"}, HTTP_HX_REQUEST="true")

    assert page.content.decode().count("<tr") == 2  # heading and one row
    assert "<html" not in page.content.decode()
    assert "HX-Request" in page["Vary"]


def test_corrected_answers_are_listed_only_when_asked_for(as_coordinator):
    old = make_answer(is_current=False, **NEVER)
    new = make_answer(household=old.household, corrects=old)

    listed = as_coordinator.get(reverse("followup")).context["page"].object_list
    corrected = as_coordinator.get(reverse("followup"), {"standing": "corrected"}).context["page"].object_list

    assert (list(listed), list(corrected)) == ([new], [old])


def test_a_wave_is_added_and_closed_in_set_up(as_coordinator):
    asked = {"months_after": 36, "name": "3 years", "days_open": 30, "reminders": 1, "days_between": 7}
    as_coordinator.post(reverse("wave_add"), asked | {"is_open": "on"})
    wave = Wave.objects.get(months_after=36)
    as_coordinator.post(reverse("wave_edit", args=[wave.pk]), asked)

    wave.refresh_from_db()
    assert not wave.is_open
    assert (wave.days_open, wave.reminders, wave.days_between) == (30, 1, 7)


def test_two_waves_in_one_month_are_refused_with_a_sentence(as_coordinator):
    page = as_coordinator.post(reverse("wave_add"), {"months_after": 6, "name": "again"})

    assert page.status_code == 422
    assert "already" in page.content.decode()


def test_households_that_owe_an_answer_are_offered(as_coordinator):
    today = timezone.localdate()
    home = make_handout(handed_on=today - datetime.timedelta(days=100)).household

    page = as_coordinator.get(reverse("answer_choose"))

    assert page.context["due"] == [home]
    assert reverse("answer_add", args=[home.pk]) in page.content.decode()
