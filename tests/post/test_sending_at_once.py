"""Real processes: two at once send a mail once, and one that is killed is followed by another under the same name."""

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest
from django.db import connection
from django.utils import timezone

from outreach.post import sending
from outreach.post.models import Message
from tests.factories.post import make_addressee, make_message

ROOT = Path(__file__).parents[2]
pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.postgres]

SENDER = """
import sys
import django
from django.conf import settings
settings.DATABASES["default"]["NAME"] = sys.argv[1]
settings.MAIL_DOMAIN = "compost.example.org"
django.setup()
from django.core.management import call_command
call_command("send_due", *sys.argv[2:], skip_checks=True)
"""


@pytest.fixture
def start_sender(mailbox):
    started = []

    def start(*options):
        sender = subprocess.Popen(
            [sys.executable, "-c", SENDER, str(connection.settings_dict["NAME"]), *options],
            env=os.environ
            | {
                "DJANGO_SETTINGS_MODULE": "outreach.site.settings",
                "LOAMBOOK_SMTP_URL": f"smtp://127.0.0.1:{mailbox.port}",
            },
            cwd=ROOT,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
        )
        started.append(sender)
        return sender

    yield start
    mailbox.may_answer.set()
    for sender in started:
        sender.kill()
        sender.communicate()


def test_two_at_once_send_each_mail_once(start_sender, mailbox):
    wanted = {f"reader{number}@example.org" for number in range(20)}
    for address in wanted:
        make_message(to=make_addressee(email=address))

    senders = [start_sender(), start_sender()]
    said = [sender.communicate(timeout=120)[0] for sender in senders]

    assert [sender.returncode for sender in senders] == [0, 0], said
    assert sorted(mailbox.recipients) == sorted(wanted)
    assert set(Message.objects.values_list("state", "attempts")) == {("sent", 1)}


def test_killed_between_sending_and_noting_it_goes_again_under_the_same_name(start_sender, mailbox):
    message = make_message()
    mailbox.may_answer.clear()
    first = start_sender()
    took = mailbox.took_one.wait(timeout=60)
    first.send_signal(signal.SIGKILL)
    first.wait()
    left = Message.objects.get()
    mailbox.may_answer.set()
    held = sending.claim(at=timezone.now())
    # The hold runs out.
    Message.objects.update(lease_until_at=timezone.now())

    said = start_sender().communicate(timeout=60)[0]

    assert took
    assert (left.state, left.attempts) == (Message.State.LEASED, 1)
    assert held is None
    assert "Sent 1" in said
    names = [mail["Message-ID"] for mail in mailbox.received]
    assert names == [f"<{message.message_id}@compost.example.org>"] * 2
    assert Message.objects.get().state == Message.State.SENT


def test_an_unreachable_server_is_said_in_words(start_sender, mailbox):
    make_message()
    mailbox.port = 1

    sender = start_sender()
    said = sender.communicate(timeout=60)[0]

    assert sender.returncode == 1
    assert "cannot be reached" in said
    assert "waits for the next run" in said
