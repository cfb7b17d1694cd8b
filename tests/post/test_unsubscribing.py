"""No more reminders: with one click, for reminders only, and without telling anyone who is on record."""

import re

import pytest
from django.test import Client
from django.urls import reverse

from outreach.post import links, sending, unsubscribing
from outreach.post.models import Message, Unsubscribed
from tests.factories.post import make_addressee, make_message

pytestmark = [pytest.mark.django_db, pytest.mark.postgres]
State = Message.State


@pytest.fixture
def stranger():
    return Client(enforce_csrf_checks=True)


@pytest.fixture
def link(known_kinds):
    return unsubscribing.path_of(make_message(kind="test.reminder", to=make_addressee(number=7)))


def one_click(client, address):
    """What a mailbox posts for its reader: RFC 8058, section 3.2; no cookie, no token."""
    return client.post(
        address, "List-Unsubscribe=One-Click", content_type="application/x-www-form-urlencoded"
    )


def test_one_click_ends_reminders_and_not_confirmations(link, stranger):
    answer = one_click(stranger, link)

    reminder = make_message(kind="test.reminder")
    confirmation = make_message()
    assert answer.status_code == 200
    assert (reminder.state, confirmation.state) == (State.WITHDRAWN, State.QUEUED)


def test_a_reminder_that_waits_is_taken_back(link, stranger):
    one_click(stranger, link)

    waited = Message.objects.get(kind="test.reminder")
    assert (waited.state, waited.last_error) == (State.WITHDRAWN, "Its reader wants no reminders.")


def test_the_header_of_a_mail_leads_there(mailbox, stranger):
    make_message(kind="test.reminder")
    sending.send_due()

    address = mailbox.received[0]["List-Unsubscribe"].strip().strip("<>")
    answer = one_click(stranger, address.removeprefix("https://compost.example.org"))

    assert answer.status_code == 200
    assert unsubscribing.wants_no_reminders(Message(recipient_email="ADA@example.org"))


def test_the_person_is_not_reminded_under_another_address_either(link, stranger):
    one_click(stranger, link)

    elsewhere = make_message(
        kind="test.reminder", to=make_addressee(email="", phone="555-555-0101", number=7)
    )
    assert elsewhere.state == State.WITHDRAWN


def test_opening_the_link_changes_nothing(link, stranger):
    answer = stranger.get(link)

    assert answer.status_code == 200
    assert "No more reminders?" in answer.content.decode()
    assert not Unsubscribed.objects.exists()


def test_said_twice_is_once_and_can_be_taken_back(link, stranger):
    one_click(stranger, link)
    one_click(stranger, link)
    before = Unsubscribed.objects.count()
    stranger.post(link, {"again": "1"})

    assert before == 2, "the address and the person"
    assert make_message(kind="test.reminder", to=make_addressee(number=7)).state == State.QUEUED


@pytest.mark.parametrize(
    ("language", "words"), [("en", "No more reminders?"), ("es", "¿No más recordatorios?")]
)
def test_the_page_is_in_both_languages(link, stranger, language, words):
    answer = stranger.get(f"{link}?language={language}")

    assert words in answer.content.decode()
    assert answer["Content-Language"] == language


def test_the_page_says_nothing_about_anyone(link, stranger):
    known = links.make(unsubscribing.PURPOSE, {"key": unsubscribing.key_of("ada@example.org"), "number": 7})
    unknown = links.make(unsubscribing.PURPOSE, {"key": unsubscribing.key_of("no@example.org"), "number": 8})
    pages = {}
    for name, token in (("known", known), ("unknown", unknown)):
        address = reverse("unsubscribe", args=[token])
        pages[name] = [stranger.get(address).content, one_click(stranger, address).content]

    plain = {
        name: [re.sub(rb"no-reminders/[^\"?]+", b"", page) for page in both] for name, both in pages.items()
    }
    assert plain["known"] == plain["unknown"]
    assert b"ada@example.org" not in b"".join(pages["known"])


def test_a_link_that_was_cut_off_is_said_to_be(link, stranger):
    answer = stranger.get(link[:-3] + "/")

    assert answer.status_code == 404
    assert "Copy the whole of it" in answer.content.decode()


def test_a_link_made_for_another_purpose_does_not_open_it(stranger, db):
    other = links.make("booking", {"key": "x", "number": 7})

    assert one_click(stranger, reverse("unsubscribe", args=[other])).status_code == 404
    assert not Unsubscribed.objects.exists()


def test_the_link_tells_no_address(link):
    assert "ada" not in link
    payload = links.read(unsubscribing.PURPOSE, link.rstrip("/").rsplit("/", 1)[1])
    assert payload["number"] == 7
    assert re.fullmatch(r"[0-9a-f]{64}", payload["key"])
