"""What came of calls: no reply comes up again tomorrow, whoever asked not to be called never does."""

import datetime

import pytest
from django.urls import reverse
from django.utils import timezone

from outreach.followup import calling, opening, phone_script, reminding
from outreach.followup.models import FollowUpCall, Invitation
from outreach.households import consent, merging
from outreach.post.models import Message
from tests.factories.bins import make_handout
from tests.factories.followup import make_wave
from tests.factories.households import make_household, make_participant
from tests.filings.programmes import programme

pytestmark = [pytest.mark.django_db, pytest.mark.postgres]
AT = datetime.datetime(2025, 8, 9, 19, tzinfo=datetime.UTC)
HOUR, DAY = datetime.timedelta(hours=1), datetime.timedelta(days=1)


def record(home, reply, by, at=AT):
    return calling.record(household=home, reply=reply, by=by, at=at)


def test_no_reply_is_called_again_on_another_day(coordinator):
    home = make_household()
    record(home, "no_reply", coordinator)

    assert home.pk in calling.not_called_now(AT + HOUR)
    assert home.pk not in calling.not_called_now(AT + DAY)


def test_whoever_asked_not_to_be_called_never_is_until_they_say_otherwise(coordinator):
    home = make_household()
    call = record(home, "not_to_call", coordinator)

    assert not calling.may_call(home)
    assert home.pk in calling.not_called_now(AT + 400 * DAY)
    assert (call.called_by, call.called_at) == (coordinator, AT)

    record(home, "may_call", coordinator, AT + DAY)
    assert calling.may_call(home)
    assert home.pk not in calling.not_called_now(AT + DAY)


def test_it_holds_for_every_record_of_the_household(coordinator):
    kept, absorbed = make_household(), make_household()
    record(absorbed, "not_to_call", coordinator)

    merging.merge(kept=kept, absorbed=absorbed, by=coordinator, at=AT, reason="The same door")

    assert not calling.may_call(kept)
    assert calling.not_called_now(AT) == {kept.pk}


def test_whoever_wants_no_questions_is_not_called(coordinator):
    home = make_household()
    consent.say(household=home, purpose="follow_up", is_given=False, how="link", at=AT)

    assert calling.not_called_now(AT) == {home.pk}

    consent.say(household=home, purpose="follow_up", is_given=True, how="link", at=AT + HOUR)
    assert calling.not_called_now(AT) == set()


def test_a_call_that_waits_is_taken_back_and_the_reminder_is_a_letter(coordinator):
    home = make_household(city_name="Quillby", zip_code="00071")
    make_participant(household=home, phone="555-555-0101")
    make_handout(household=home, handed_on=datetime.date(2025, 5, 9))
    make_wave(months_after=3)
    opening.open_due(AT)

    record(home, "not_to_call", coordinator, AT + HOUR)
    reminded = reminding.remind_due(AT + 10 * DAY)

    assert reminded == 1
    told = list(Message.objects.order_by("pk").values_list("channel", "state"))
    assert told == [("call", "withdrawn"), ("letter", "queued")]
    assert Invitation.objects.get().settled_because == ""


def test_a_household_that_is_not_called_is_asked_by_letter(coordinator):
    home = make_household(city_name="Quillby", zip_code="00071")
    make_participant(household=home, phone="555-555-0101")
    make_handout(household=home, handed_on=datetime.date(2025, 5, 9))
    record(home, "not_to_call", coordinator)

    opening.open_due(AT)

    assert Invitation.objects.get().channel == "letter"


def first_row(page):
    return page.context["list"].calls[0].household


@pytest.fixture
def on_the_list(monkeypatch, as_coordinator):
    """The page of the quarter in which the programme of the tests has households without an answer."""
    programme()
    monkeypatch.setattr(timezone, "now", lambda: datetime.datetime(2025, 8, 20, 19, tzinfo=datetime.UTC))
    return lambda: as_coordinator.get(reverse("call_next"))


def test_one_key_each_logs_what_came_of_it(on_the_list, as_coordinator):
    home = first_row(on_the_list())
    before = len(on_the_list().context["list"].calls)

    log = reverse("call_logged", args=[home.pk])
    as_coordinator.post(log, {"reply": "not_to_call"})

    page = on_the_list()
    assert home.pk not in {one.household.pk for one in page.context["list"].calls}
    assert len(page.context["list"].calls) == before - 1
    assert list(page.context["not_to_call"]) == [home]


def test_answered_leads_to_the_form_filled_with_the_way_it_came(on_the_list, as_coordinator):
    home = first_row(on_the_list())

    answered = as_coordinator.post(reverse("call_logged", args=[home.pk]), {"reply": "answered"})
    form = as_coordinator.get(answered.url).context["form"]

    assert FollowUpCall.objects.get().reply == "answered"
    assert (form.household, form.initial["channel"]) == (home, "phone")


def test_a_reply_that_is_none_says_what_to_press(on_the_list, as_coordinator):
    home = first_row(on_the_list())

    page = as_coordinator.post(reverse("call_logged", args=[home.pk]), {"reply": "hm"}, follow=True)

    assert "Say what came of the call" in page.content.decode()
    assert FollowUpCall.objects.count() == 0


def test_the_script_is_there_in_both_languages(on_the_list):
    told = on_the_list().content.decode()
    english, spanish = phone_script.in_each_language()

    assert "Do you still compost" in told
    assert "¿Todavía hace composta" in told
    assert (english.language, spanish.language) == ("English", "Español")
    assert len(english.lines) == len(spanish.lines)
    assert not set(english.lines) & set(spanish.lines)
