"""Consent: the latest that was said holds, for merged records as one, and takes back what waits."""

import uuid
from datetime import timedelta

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from outreach.households import consent, merging
from outreach.households.consent import How, Purpose
from outreach.households.consent_models import Consent
from outreach.post.models import Message
from outreach.staff.roles import Role
from tests.factories.households import make_household, make_participant

AT = timezone.now()
FOLLOW_UP = Purpose.FOLLOW_UP
pytestmark = pytest.mark.django_db


def say(household, is_given, how=How.LINK, **more):
    return consent.say(
        household=household, purpose=FOLLOW_UP, is_given=is_given, how=how, **{"at": AT} | more
    )


def make_message(person, kind):
    return Message.objects.create(
        kind=kind,
        dedupe_key=str(uuid.uuid4()),
        language="en",
        recipient_name=person.full_name,
        recipient_email="ada@example.org",
        recipient_number=person.pk,
        subject="How does it go?",
        body="Three questions.",
        channel="email",
        queued_at=AT,
        next_try_at=AT,
    )


def test_who_said_nothing_may_be_asked():
    assert consent.may_ask(make_household(), FOLLOW_UP)


def test_the_latest_that_was_said_holds(coordinator):
    home = make_household()
    say(home, False)
    assert not consent.may_ask(home, FOLLOW_UP)

    say(home, True, How.OFFICE, by=coordinator, at=AT + timedelta(days=1))

    assert consent.may_ask(home, FOLLOW_UP)
    assert list(Consent.objects.order_by("said_at").values_list("is_given", "how")) == [
        (False, "link"),
        (True, "office"),
    ]


def test_said_twice_is_once():
    home = make_household()

    assert say(home, False) == say(home, False)


def test_a_no_on_a_merged_record_holds_for_both(coordinator):
    kept, absorbed = make_household(), make_household()
    say(absorbed, False)

    merging.merge(kept=kept, absorbed=absorbed, by=coordinator, at=AT, reason="One home")

    assert not consent.may_ask(kept, FOLLOW_UP)


def test_the_public_form_does_not_undo_what_was_said():
    home = make_household()
    say(home, False)

    consent.note_sign_up(household=home, is_given=True, at=AT + timedelta(days=1))

    assert not consent.may_ask(home, FOLLOW_UP)


def test_a_box_left_open_on_the_form_is_a_no():
    home = make_household()

    consent.note_sign_up(household=home, is_given=False, at=AT)

    assert not consent.may_ask(home, FOLLOW_UP)


def test_a_no_takes_back_what_waits_for_that_purpose_and_nothing_else(monkeypatch):
    monkeypatch.setattr(consent, "_kinds", {})
    consent.register_kinds(FOLLOW_UP, ["followup.question"])
    person, other = make_participant(), make_participant()
    asked, told = make_message(person, "followup.question"), make_message(person, "workshops.moved")
    others = make_message(other, "followup.question")

    say(person.household, False)

    states = {one.pk: one.state for one in Message.objects.all()}
    assert states == {asked.pk: "withdrawn", told.pk: "queued", others.pk: "queued"}


def test_what_the_office_was_told_names_who_entered_it():
    with pytest.raises(ValidationError, match="Say who was told"):
        say(make_household(), False, How.OFFICE)


def test_what_was_said_is_never_changed():
    said = say(make_household(), False)

    said.is_given = True
    with pytest.raises(IntegrityError, match="is never changed"), transaction.atomic():
        said.save()


def test_opening_the_link_changes_nothing_and_the_button_does():
    home = make_household()
    make_participant(household=home, full_name="Ada Holm")
    page, reader = consent.path_of(home, FOLLOW_UP), Client()

    opened = reader.get(page).content.decode()
    assert consent.may_ask(home, FOLLOW_UP)
    assert "Ada" not in opened
    assert home.street not in opened

    done = reader.post(page).content.decode()

    assert "We ask you nothing more" in done
    assert not consent.may_ask(home, FOLLOW_UP)
    reader.post(page, {"again": "1"})
    assert consent.may_ask(home, FOLLOW_UP)


def test_a_browser_may_send_the_form_with_its_origin():
    """Under 'no-referrer' a browser posts with the origin 'null', which the check against forged forms refuses."""
    page = Client().get(consent.path_of(make_household(), Purpose.FOLLOW_UP))

    assert page["Referrer-Policy"] == "same-origin"


def test_the_page_speaks_spanish():
    page = Client().get(consent.path_of(make_household(), FOLLOW_UP), headers={"accept-language": "es"})

    assert "¿No más preguntas?" in page.content.decode()


def test_a_changed_link_says_so():
    page = consent.path_of(make_household(), FOLLOW_UP)

    assert Client().post(page[:-4] + "xxx/").status_code == 404
    assert not Consent.objects.exists()


def test_the_office_enters_what_it_was_told(as_coordinator, as_role):
    home = make_household()
    told = reverse("consent_told", args=[home.pk])
    assert as_role(Role.AUDITOR).post(told, {"may_be_asked": "no"}).status_code == 403

    as_coordinator.post(told, {"may_be_asked": "no"})

    assert not consent.may_ask(home, FOLLOW_UP)
    shown = as_coordinator.get(reverse("household", args=[home.pk])).content.decode()
    assert "Is not asked: told the office" in shown
