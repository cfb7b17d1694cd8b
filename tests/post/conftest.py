"""A real mail server on loopback, and kinds of messages that only tests know."""

import asyncio
import socket
import threading
from collections.abc import Iterator
from dataclasses import dataclass, field
from email import message_from_bytes, policy
from email.message import EmailMessage

import pytest
from aiosmtpd.controller import Controller

from outreach.post import kinds
from tests.factories.post import make_kind, make_reminder_kind


@dataclass
class Mailbox:
    """What the server took, and how it answers: one answer a mail, then it accepts."""

    port: int
    answers: list[str] = field(default_factory=list)
    recipient_answers: dict[str, str] = field(default_factory=dict)
    received: list[EmailMessage] = field(default_factory=list)
    recipients: list[str] = field(default_factory=list)
    took_one: threading.Event = field(default_factory=threading.Event)
    may_answer: threading.Event = field(default_factory=threading.Event)

    def __post_init__(self) -> None:
        self.may_answer.set()

    async def handle_RCPT(self, server, session, envelope, address, options):  # noqa: N802  # aiosmtpd
        refusal = self.recipient_answers.get(address)
        if refusal:
            return refusal
        envelope.rcpt_tos.append(address)
        return "250 OK"

    async def handle_DATA(self, server, session, envelope):  # noqa: N802  # aiosmtpd
        if self.answers:
            return self.answers.pop(0)
        self.received.append(message_from_bytes(envelope.content, policy=policy.default))
        self.recipients += envelope.rcpt_tos
        self.took_one.set()
        while not self.may_answer.is_set():
            await asyncio.sleep(0.02)
        return "250 Message accepted"


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


@pytest.fixture
def known_kinds(monkeypatch):
    """The kinds of the tests alone; what apps registered comes back afterwards."""
    monkeypatch.setattr(kinds, "_kinds", {})
    return make_kind(), make_reminder_kind()


@pytest.fixture
def mailbox(settings, known_kinds) -> Iterator[Mailbox]:
    """A mail server that the settings name, on a port of its own."""
    box = Mailbox(port=free_port())
    server = Controller(box, hostname="127.0.0.1", port=box.port)
    server.start()
    settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
    settings.EMAIL_HOST, settings.EMAIL_PORT = "127.0.0.1", box.port
    settings.EMAIL_HOST_USER = settings.EMAIL_HOST_PASSWORD = ""
    settings.EMAIL_USE_TLS = settings.EMAIL_USE_SSL = False
    settings.PUBLIC_URL = "https://compost.example.org"
    settings.MAIL_DOMAIN = "compost.example.org"
    yield box
    box.may_answer.set()
    server.stop()
