"""Two weeks after advice the outcome is asked, once; the link tells nothing and takes an answer."""

import datetime

import pytest
from django.urls import reverse

from outreach.coaching import outcomes
from outreach.coaching.models import HelpRequest, HelpStep
from outreach.post import links
from outreach.post.models import Message
from outreach.staff import rounds
from tests.factories.coaching import CAME_ON, make_help_request
from tests.factories.households import make_participant

pytestmark = pytest.mark.django_db


def instant(days):
    return datetime.datetime(2025, 6, 2, 18, tzinfo=datetime.UTC) + datetime.timedelta(days=days)


@pytest.fixture
def advised():
    person = make_participant(email="wren@example.org", full_name="Wren Halloway")
    return make_help_request(state="advised", household=person.household)


def test_it_is_asked_after_two_weeks_and_once(advised):
    assert outcomes.ask_due(instant(13)) == 0
    assert outcomes.ask_due(instant(14)) == 1
    assert outcomes.ask_due(instant(14)) == 0
    assert outcomes.ask_due(instant(40)) == 0

    advised.refresh_from_db()
    assert Message.objects.filter(kind="help.outcome_question").count() == 1
    assert advised.outcome_asked_on == CAME_ON + datetime.timedelta(days=14)
    assert HelpStep.objects.get().kind == "outcome_asked"


@pytest.mark.parametrize(
    "differences",
    [{"state": "open", "advised_on": None}, {"state": "closed"}, {"outcome": "solved"}],
)
def test_it_is_not_asked_where_there_is_nothing_to_ask(advised, differences):
    if differences.get("state") == "closed":
        differences |= {"closed_at": instant(1), "outcome": "solved"}
    HelpRequest.objects.filter(pk=advised.pk).update(**differences)

    assert outcomes.ask_due(instant(20)) == 0


def test_a_round_asks(advised):
    rounds.run_due(instant(15))

    assert Message.objects.filter(kind="help.outcome_question").exists()


def test_the_link_takes_an_answer_and_it_can_be_changed(client, advised):
    path = outcomes.link_path(advised)

    page = client.get(path).content.decode()
    client.post(path, {"outcome": "better", "words": "Less smell"})
    client.post(path, {"outcome": "solved"})

    advised.refresh_from_db()
    assert "Wren" not in page
    assert advised.outcome == "solved"
    assert HelpStep.objects.filter(kind="outcome_told").count() == 2


def test_a_broken_link_says_what_to_do(client):
    answer = client.get(reverse("help_outcome", args=["made-up"]))

    assert answer.status_code == 404
    assert "This link is not complete" in answer.content.decode()


def test_a_link_of_another_purpose_opens_nothing(client, advised):
    token = links.make("booking", {"request": advised.pk})

    assert client.get(reverse("help_outcome", args=[token])).status_code == 404


def test_a_closed_question_takes_no_answer(client, advised):
    HelpRequest.objects.filter(pk=advised.pk).update(state="closed", outcome="solved", closed_at=instant(3))

    answer = client.post(outcomes.link_path(advised), {"outcome": "unchanged"})

    assert answer.status_code == 422
    assert "is closed" in answer.content.decode()
    advised.refresh_from_db()
    assert advised.outcome == "solved"
