"""Season says which messages want a person: calls, letters, and what was given up."""

import datetime

import pytest
from django.urls import reverse

from outreach.post import kinds
from outreach.site.season_facts import season_facts
from outreach.staff.roles import Role
from tests.factories.post import AT, make_addressee, make_call, make_kind, make_letter, make_message

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def kinds_of_tests(monkeypatch):
    monkeypatch.setattr(kinds, "_kinds", {})
    make_kind()


def waiting(at=AT):
    facts = season_facts(on=at.date(), at=at)
    return {point.words: point.url for point in facts.waiting}


def test_calls_letters_and_what_was_given_up_wait_for_a_person():
    make_call()
    make_call(not_before=AT + datetime.timedelta(days=1))
    make_letter()
    make_message(to=make_addressee(email=""))
    make_message()

    assert waiting() == {
        "1 calls to make today": reverse("calls"),
        "1 letters to print": reverse("letters"),
        "1 messages given up": f"{reverse('messages')}?state=given_up",
    }


def test_nothing_is_said_where_nothing_waits():
    make_message()

    assert waiting() == {}


def test_the_door_crew_is_not_sent_there(as_role):
    make_call(at=datetime.datetime(2020, 1, 1, tzinfo=datetime.UTC))

    page = as_role(Role.DOOR_CREW).get(reverse("season")).content.decode()

    assert reverse("calls") not in page
