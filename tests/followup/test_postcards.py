"""Postcards go to the silent: the address where the window shows it, and a code that opens the household's form."""

import datetime
import io
import os

import pytest
import zxingcpp
from django.test import Client
from django.urls import reverse
from django.utils import timezone
from pypdf import PdfReader
from reportlab.lib.units import inch

from outreach.followup import asking_messages, postcards
from outreach.followup.models import Answer, Invitation
from outreach.followup.papers import postcard
from outreach.households import consent
from outreach.post import window_envelope
from outreach.post.models import Message
from outreach.post.posting import Addressee
from outreach.staff.roles import Role
from tests.factories.followup import make_answer, make_invitation, make_wave
from tests.factories.households import make_household, make_participant
from tests.rendering import pages_of

pytestmark = pytest.mark.django_db

LONGEST_NAME = "Maximiliana Guadalupe de los Ángeles Fernández-Montenegro y Villaseñor"
LONGEST_STREET = "12345 North Commander Bartholomew Featherstonehaugh Memorial Parkway Apartment 1204-B"
BOTH = ("en", "es")


@pytest.fixture
def wave():
    return make_wave(months_after=3)


def make_silent(wave, *, channel="email", reminders=2, name="Ada Holm", days_ago=30, **home):
    at = timezone.now() - datetime.timedelta(days=days_ago)
    household = make_household(**{"city_name": "Quillby", "zip_code": "00071"} | home)
    make_participant(household=household, full_name=name)
    return make_invitation(
        household=household,
        wave=wave,
        opened_at=at,
        opened_on=timezone.localdate(at),
        last_asked_at=at,
        channel=channel,
        reminders_sent=reminders,
    )


def due(wave):
    return postcards.due(wave, on=timezone.localdate(), languages=BOTH)


def pdf(cards):
    target = io.BytesIO()
    postcard.write(cards, target)
    return target.getvalue()


def keep_pictures(name, pages):
    if folder := os.environ.get("LOAMBOOK_PICTURES"):
        for number, page in enumerate(pages, start=1):
            page.save(f"{folder}/{name}-{number}.png")


def test_whoever_has_reminders_left_gets_no_card_yet(wave):
    make_silent(wave, reminders=1)

    assert due(wave) == []


def test_whoever_was_reminded_in_vain_gets_one(wave):
    asked = make_silent(wave)

    assert [card.invitation for card in due(wave)] == [asked]


def test_after_the_last_reminder_there_is_time_to_answer_first(wave):
    make_silent(wave, days_ago=9)
    ready = make_silent(wave, days_ago=10)

    assert [card.invitation for card in due(wave)] == [ready]


@pytest.mark.parametrize("channel", ["call", "none"])
def test_without_e_mail_a_card_is_due_at_once(wave, channel):
    asked = make_silent(wave, channel=channel, reminders=0, days_ago=0)

    assert [card.invitation for card in due(wave)] == [asked]


def test_a_household_that_gets_letters_gets_no_card_beside_them(wave):
    make_silent(wave, channel="letter", reminders=0)

    assert due(wave) == []


def test_whoever_answered_said_no_or_had_one_gets_none(wave):
    answered, said_no, had_one = (make_silent(wave) for _ in range(3))
    make_answer(household=answered.household, wave=wave, answered_on=timezone.localdate())
    consent.say(
        household=said_no.household, purpose="follow_up", is_given=False, how="link", at=timezone.now()
    )
    postcards.mailed(invitations=[had_one.pk], at=timezone.now())

    assert due(wave) == []


def test_a_card_that_was_mailed_counts_as_a_reminder_and_takes_the_call_back(wave):
    asked = make_silent(wave, channel="call", reminders=0)
    to = Addressee(name="Ada Holm", language="en", phone="555-555-0101")
    call = asking_messages.ask(asked, to, timezone.now())

    noted = [postcards.mailed(invitations=[asked.pk], at=timezone.now()) for _ in range(2)]

    asked.refresh_from_db()
    call.refresh_from_db()
    assert noted == [1, 0]
    assert (asked.reminders_sent, asked.postcard_on) == (1, timezone.localdate())
    assert call.state == Message.State.WITHDRAWN


@pytest.mark.parametrize("language", ["en", "es", ""])
def test_the_code_reads_back_as_the_link_and_opens_the_form(wave, language, settings):
    settings.PUBLIC_URL = "https://compost.example.org"
    make_silent(wave, language=language, name=LONGEST_NAME, street=LONGEST_STREET)
    cards = due(wave)

    pages = pages_of(pdf(cards))

    keep_pictures(f"postcard-{language or 'both'}", pages)
    [code] = zxingcpp.read_barcodes(pages[0])
    assert code.text == cards[0].link
    assert code.text.startswith("https://compost.example.org/answer/")
    page = Client().get(code.text.removeprefix("https://compost.example.org"))
    assert page.status_code == 200
    if language:
        assert f'<html lang="{language}">' in page.content.decode()


def test_an_answer_by_the_code_says_that_it_came_by_postcard(wave):
    asked = make_silent(wave)
    [card] = due(wave)
    postcards.mailed(invitations=[asked.pk], at=timezone.now())

    Client().post("/" + card.link.split("/", 3)[3], {"composting": "stopped"})

    answer = Answer.objects.get()
    assert (answer.channel, answer.reminders) == ("postcard", 3)


def test_a_household_reads_its_own_language_and_both_where_it_is_not_known(wave):
    for language in ("en", "es", ""):
        make_silent(wave, language=language)

    texts = [page.extract_text() for page in PdfReader(io.BytesIO(pdf(due(wave)))).pages]

    english, spanish = "How is your compost bin doing?", "¿Cómo va su compostera?"
    assert [(english in text, spanish in text) for text in texts] == [
        (True, False),
        (False, True),
        (True, True),
    ]


def test_the_longest_name_and_address_stand_whole_in_the_window(wave):
    make_silent(wave, language="es", name=LONGEST_NAME, street=LONGEST_STREET)
    [page] = PdfReader(io.BytesIO(pdf(due(wave)))).pages
    seen = []

    def note(text, _cm, matrix, _font, size):
        if text.strip():
            seen.append((text.strip(), matrix[4], matrix[5], size))

    page.extract_text(visitor_text=note)
    top, bottom = 11 * inch - window_envelope.TOP, 11 * inch - window_envelope.TOP - window_envelope.HEIGHT
    inside = " ".join(
        text for text, x, y, _size in seen if bottom - 1 <= y <= top and x >= window_envelope.LEFT - 1
    )

    for part in (*LONGEST_NAME.split(), *LONGEST_STREET.split(), "Quillby", "00071"):
        assert part in inside, part


def test_the_page_prints_them_and_notes_them_as_mailed(as_coordinator, as_role, wave):
    asked = make_silent(wave)

    listed = as_coordinator.get(reverse("postcards_due")).content.decode()
    file = as_coordinator.get(reverse("postcards_pdf", args=[wave.pk]))
    as_coordinator.post(reverse("postcards_mailed", args=[wave.pk]), {"card": [asked.pk, "x"]})

    assert "Ada Holm" in listed
    assert b"".join(file.streaming_content).startswith(b"%PDF")
    assert Invitation.objects.get().postcard_on == timezone.localdate()
    assert "No postcard is due." in as_coordinator.get(reverse("postcards_due")).content.decode()
    assert as_coordinator.get(reverse("postcards_pdf", args=[wave.pk])).status_code == 302
    assert as_role(Role.CITY_ANALYST).get(reverse("postcards_due")).status_code == 403
