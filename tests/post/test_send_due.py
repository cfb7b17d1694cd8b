"""The command for cron, and the same work inside the worker."""

import io

import pytest
from django.core.management import CommandError, call_command

from outreach.post import sending
from outreach.post.models import Message
from outreach.staff import rounds
from tests.factories.post import AT, make_message

pytestmark = pytest.mark.django_db


@pytest.fixture
def only_rounds(monkeypatch):
    monkeypatch.setattr(rounds, "_rounds", {})


def run():
    said = io.StringIO()
    call_command("send_due", stdout=said)
    return said.getvalue()


def test_it_says_what_it_did(mailbox, only_rounds):
    make_message()

    assert run().strip() == "Sent 1, put off 0, given up 0."


def test_what_is_due_by_itself_comes_first_and_is_sent_in_the_same_run(mailbox, only_rounds):
    rounds.every(sending.ROUND_EVERY, "reminders", lambda at: make_message())

    assert "Sent 1" in run()


@pytest.mark.usefixtures("known_kinds", "only_rounds")
def test_without_a_mail_server_it_says_what_to_set(settings):
    settings.EMAIL_HOST = ""
    make_message()

    with pytest.raises(CommandError, match=r"1 e-mails wait\. Set LOAMBOOK_SMTP_URL"):
        run()

    assert Message.objects.get().attempts == 0


@pytest.mark.usefixtures("known_kinds", "only_rounds")
def test_without_a_mail_server_and_without_mails_all_is_well(settings):
    settings.EMAIL_HOST = ""

    assert "no e-mail waits" in run()


def test_the_worker_comes_round_with_the_mail(mailbox, monkeypatch):
    mail = rounds._rounds[sending.ROUND]
    make_message()

    mail.act(AT)

    assert len(mailbox.received) == 1
