"""What somebody ticks on the screen at the Door about being asked later is kept, with the words that stood there."""

import datetime

import pytest
from django.utils import timezone

from outreach.door import roster
from outreach.door.models import EventOutcome
from outreach.door.receiving import Delivery, receive
from outreach.households import consent, consent_words
from outreach.households.consent_models import Consent
from tests.factories.door import TEN, Phone, make_device
from tests.factories.households import make_household, make_participant
from tests.factories.workshops import make_registration, make_waiver_text, make_workshop

pytestmark = [pytest.mark.django_db, pytest.mark.postgres]

AT = TEN + datetime.timedelta(hours=3)


@pytest.fixture
def ada():
    make_waiver_text()
    make_waiver_text(language="es")
    person = make_participant(household=make_household())
    workshop = make_workshop(jurisdiction=person.household.jurisdiction, seats=30)
    make_registration(
        workshop=workshop, participant=person, household=person.household, counted_under=person.household
    )
    return person


@pytest.fixture
def phone(ada):
    return Phone(make_device(workshop=ada.registrations.get().workshop))


def accepted(phone, ada, *, at=TEN, **said):
    body = {"participant": ada.pk, "version": 1, "language": "en", "typed_name": "Ada"}
    event = phone.event("waiver_accepted", at=at, **body, **said)
    receive(device=phone.device, delivery=Delivery(events=[event]), at=AT)
    return EventOutcome.objects.get(pk=event["id"]), event


@pytest.mark.parametrize("given", [True, False])
def test_what_they_tick_is_kept_with_its_words_and_its_time(phone, ada, given):
    outcome, _event = accepted(phone, ada, consent={"given": given, "version": 1})

    said = Consent.objects.get()
    assert outcome.state == "applied"
    assert (said.is_given, said.how, said.words_version, said.said_at) == (given, "door", 1, TEN)
    assert consent.may_ask(ada.household, "follow_up") is given


def test_an_older_page_that_does_not_ask_says_nothing(phone, ada):
    outcome, _event = accepted(phone, ada)

    assert outcome.state == "applied"
    assert not Consent.objects.exists()


def test_told_late_it_does_not_take_the_place_of_what_was_said_since(phone, ada):
    said = {"household": ada.household, "purpose": "follow_up"}
    consent.say(**said, is_given=False, how="link", at=TEN + datetime.timedelta(hours=1))

    accepted(phone, ada, consent={"given": True, "version": 1})
    accepted(phone, ada, consent={"given": True, "version": 1})

    assert not consent.may_ask(ada.household, "follow_up")
    assert Consent.objects.filter(how="door").count() == 1


def test_taking_the_waiver_back_does_not_unsay_it(phone, ada):
    _outcome, event = accepted(phone, ada, consent={"given": False, "version": 1})

    receive(device=phone.device, delivery=Delivery(events=[phone.undone(event)]), at=AT)

    assert not consent.may_ask(ada.household, "follow_up")


@pytest.mark.parametrize(
    "wrong", [{"given": "yes", "version": 1}, {"given": True}, {"given": True, "version": 999}, "yes"]
)
def test_what_cannot_be_read_waits_for_the_office_and_is_not_lost(phone, ada, wrong):
    outcome, _event = accepted(phone, ada, consent=wrong)

    assert outcome.state == "held"
    assert outcome.words
    assert not Consent.objects.exists()


def test_the_device_knows_the_words_and_what_was_said_before(phone, ada):
    before = roster.of(phone.device)
    consent.say(household=ada.household, purpose="follow_up", is_given=True, how="sign_up", at=timezone.now())
    after = roster.of(phone.device)

    assert before["consent"] == {
        "version": consent_words.CURRENT,
        "text": consent_words.FOLLOW_UP[consent_words.CURRENT],
    }
    assert [one["may_ask"] for one in (before["people"][0], after["people"][0])] == [None, True]
