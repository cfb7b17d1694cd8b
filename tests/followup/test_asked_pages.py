"""Who has answered, who is due, who was silent; and after how many reminders, by which way."""

import datetime

import pytest
from django.urls import reverse
from django.utils import timezone

from outreach.followup import asking_figures
from outreach.staff.roles import Role
from tests.factories.followup import make_answer, make_invitation, make_wave
from tests.factories.households import make_household, make_participant

pytestmark = pytest.mark.django_db
DAY = datetime.timedelta(days=1)


def asked(wave, *, days_ago=5, answer=None, **differences):
    """A household asked so many days ago; `answer` is what it then said."""
    home = make_household()
    make_participant(household=home, full_name="Ada Holm")
    at = timezone.now() - days_ago * DAY
    invitation = make_invitation(
        household=home, wave=wave, opened_at=at, opened_on=timezone.localdate(at), **differences
    )
    if answer is not None:
        make_answer(household=home, wave=wave, answered_on=timezone.localdate(), **answer)
    return invitation


@pytest.fixture
def wave():
    return make_wave(months_after=3)


@pytest.fixture
def season(wave):
    """Ten asked: of five answers three before any reminder; of five others three are due and two were silent."""
    for composting in ("yes", "yes", "on_and_off"):
        asked(wave, answer={"channel": "link", "reminders": 0, "composting": composting})
    asked(wave, answer={"channel": "postcard", "reminders": 3, "composting": "stopped"})
    asked(wave, answer={"channel": "link", "reminders": 3, "composting": "yes"})
    due = [asked(wave) for _ in range(3)]
    silent = [asked(wave, days_ago=60) for _ in range(2)]
    asked(make_wave(months_after=12))
    make_answer(composting="yes")  # of nobody we asked
    return due, silent


def test_by_reminders_says_how_many_still_compost(season, wave):
    rows = asking_figures.by_reminders(wave)

    assert [(row.name, row.answers, row.asked) for row in rows] == [
        ("before any reminder", 3, 10),
        ("after 3 reminders", 2, 10),
    ]
    assert [(row.share_percent, row.still_percent) for row in rows] == [(30, 100), (20, 50)]


def test_by_channel_the_most_frequent_first(season, wave):
    rows = asking_figures.by_channel(wave)

    assert [(row.name, row.answers, row.still) for row in rows] == [("e-mail link", 4, 4), ("postcard", 1, 0)]


@pytest.mark.parametrize(("standing", "count"), [("answered", 5), ("due", 3), ("silent", 2), ("", 10)])
def test_the_list_is_narrowed_to_who_answered_is_due_or_was_silent(
    as_coordinator, season, wave, standing, count
):
    page = as_coordinator.get(reverse("asked"), {"wave": wave.pk, "standing": standing})

    assert page.context["page"].paginator.count == count
    assert page.context["counts"] == {"asked": 10, "answered": 5, "due": 3, "silent": 2}


def test_an_answer_in_review_is_neither_due_nor_silent(as_coordinator, wave):
    waits = {
        "review_reason": "the amount is not clear",
        "in_force_from_day": 0,
        "in_force_until_day": 0,
        "channel": "link",
        "reminders": 0,
    }
    asked(wave, answer=waits)

    counts = as_coordinator.get(reverse("asked")).context["counts"]

    assert (counts["answered"], counts["due"], counts["silent"]) == (1, 0, 0)


def test_streets_are_for_the_office(as_role, season, wave):
    office = as_role(Role.COORDINATOR).get(reverse("asked")).content.decode()
    analyst = as_role(Role.CITY_ANALYST).get(reverse("asked")).content.decode()

    assert "Alder Street" in office
    assert "Alder Street" not in analyst
    assert "Postcards to print" not in analyst


def test_the_page_takes_as_many_queries_for_many_as_for_few(
    as_coordinator, wave, django_assert_max_num_queries
):
    for _ in range(30):
        asked(wave)

    with django_assert_max_num_queries(30):
        as_coordinator.get(reverse("asked"))


def test_before_anybody_was_asked_the_page_says_so(as_coordinator):
    assert "Nobody has been asked yet" in as_coordinator.get(reverse("asked")).content.decode()
