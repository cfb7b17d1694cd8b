"""Kinds of messages, readers and messages for tests, valid by default."""

import datetime
import itertools

from outreach.post import kinds, posting
from outreach.post.kinds import Kind, Text
from outreach.post.models import Message, TextVersion
from outreach.post.posting import Addressee
from tests.factories.staff import make_member

AT = datetime.datetime(2026, 4, 30, 17, tzinfo=datetime.UTC)
SAMPLE = {"name": "Ada Holm", "day": "9 May 2026", "link": "https://compost.example.org/mine/x"}
ENGLISH = Text("Your places on $day", "Hello $name,\n\nyou have places on $day.\n\nChange them here: $link")
SPANISH = Text(
    "Sus lugares el $day", "Hola, $name:\n\ntiene lugares el $day.\n\nPuede cambiarlos aquí: $link"
)
_numbers = itertools.count(1)


def make_kind(**differences) -> Kind:
    """A kind of message, known to the outbox from then on."""
    fields = {
        "key": "test.confirmation",
        "title": "Places confirmed",
        "sample": SAMPLE,
        "texts": {"en": ENGLISH, "es": SPANISH},
    }
    kind = Kind(**fields | differences)
    kinds.register(kind)
    return kind


def make_reminder_kind(**differences) -> Kind:
    return make_kind(**{"key": "test.reminder", "title": "Reminder", "is_reminder": True} | differences)


def make_addressee(**differences) -> Addressee:
    fields = {"name": "Ada Holm", "language": "en", "email": "ada@example.org"}
    return Addressee(**fields | differences)


def make_message(*, to: Addressee | None = None, **differences) -> Message:
    """A message put into the outbox as apps do it; needs the kind that `make_kind` makes."""
    fields = {
        "kind": "test.confirmation",
        "to": to or make_addressee(),
        "values": SAMPLE,
        "dedupe_key": f"test:{next(_numbers)}",
        "at": AT,
    }
    return posting.post(**fields | differences)


def make_call(**differences) -> Message:
    return make_message(to=make_addressee(email="", phone="555-555-0101"), **differences)


def make_letter(**differences) -> Message:
    lines = ("5 Reed St", "Tidewell 00431")
    return make_message(to=make_addressee(email="", postal_lines=lines), **differences)


def make_text_version(**differences) -> TextVersion:
    fields = {
        "kind": "test.confirmation",
        "language": "en",
        "version": 1,
        "subject": "Places on $day",
        "body": "$name, see $link",
        "written_at": AT,
    }
    fields |= differences
    fields.setdefault("written_by", make_member())
    return TextVersion(**fields)
