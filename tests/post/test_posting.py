"""Putting messages into the outbox: once each, by the way that reaches the reader, in their language."""

import datetime

import pytest
from django.core.exceptions import ValidationError

from outreach.post import posting, settling, unsubscribing
from outreach.post.kinds import Kind, Text, TextCannotBeUsed, UnknownKind
from outreach.post.models import Message, Unsubscribed
from outreach.post.texts import ValuesMissing
from tests.factories.post import (
    AT,
    SAMPLE,
    make_addressee,
    make_call,
    make_kind,
    make_letter,
    make_message,
    make_text_version,
)

pytestmark = [pytest.mark.django_db, pytest.mark.postgres, pytest.mark.usefixtures("known_kinds")]
State, Channel = Message.State, Message.Channel
DAY = datetime.timedelta(days=1)


def test_the_same_key_again_gives_the_row_that_is_there():
    first = make_message(dedupe_key="booking:1:confirmation")
    again = make_message(dedupe_key="booking:1:confirmation", values=SAMPLE | {"day": "10 May 2026"})

    assert again.pk == first.pk
    assert again.body == first.body


@pytest.mark.parametrize(
    ("ways", "channel", "state"),
    [
        ({"email": "a@example.org", "phone": "555-555-0101"}, Channel.EMAIL, State.QUEUED),
        ({"email": "", "phone": "555-555-0101", "postal_lines": ("5 Reed St",)}, Channel.CALL, State.QUEUED),
        ({"email": "", "postal_lines": ("5 Reed St", "Tidewell 00431")}, Channel.LETTER, State.QUEUED),
        ({"email": "not an address", "phone": "555-555-0101"}, Channel.CALL, State.QUEUED),
        ({"email": ""}, Channel.NONE, State.GIVEN_UP),
    ],
)
def test_whoever_has_no_address_is_called_or_gets_a_letter(ways, channel, state):
    message = make_message(to=make_addressee(**ways))

    assert (message.channel, message.state) == (channel, state)


def test_nobody_is_left_out_without_a_word():
    assert make_message(to=make_addressee(email="")).last_error == settling.NO_WAY


@pytest.mark.parametrize(
    ("wanted", "used", "begins"),
    [("en", "en", "Hello"), ("es", "es", "Hola"), ("es-MX", "es", "Hola"), ("tl", "en", "Hello")],
)
def test_a_message_is_in_the_readers_language_or_in_english(wanted, used, begins):
    message = make_message(to=make_addressee(language=wanted))

    assert message.language == used
    assert message.body.startswith(begins)


def test_the_newest_wording_is_used_and_named():
    make_text_version(version=1, body="First $link").save()
    make_text_version(version=2, body="Second $link").save()

    message = make_message()

    assert message.text_version == 2
    assert message.body == f"Second {SAMPLE['link']}"


def test_a_subject_is_one_line_and_an_empty_value_leaves_no_gap():
    make_kind(texts={"en": Text("For $name,\n$day", "Hello\n\n$day\n\n\n$name\n\n$link\n")})

    message = make_message(values=SAMPLE | {"name": "Ada\r\nBcc: eve@example.org", "day": ""})

    assert message.subject == "For Ada Bcc: eve@example.org,"
    assert message.recipient_name == "Ada Holm"
    assert message.body.splitlines()[:3] == ["Hello", "", "Ada"]


def test_a_value_that_is_missing_is_said_to_whoever_programs():
    with pytest.raises(ValuesMissing, match="no value for day"):
        make_message(values={"name": "Ada", "link": "x"})


def test_an_unknown_kind_is_said_to_whoever_programs():
    with pytest.raises(UnknownKind, match=r"nothing\.known"):
        make_message(kind="nothing.known")


@pytest.mark.parametrize(
    "texts",
    [
        {"en": Text("Costs $5", "Body")},
        {"en": Text("Hello $nobody", "Body")},
        {"es": Text("Hola", "Texto")},
    ],
)
def test_a_kind_comes_with_texts_that_can_be_filled_in(texts):
    with pytest.raises(TextCannotBeUsed):
        Kind(key="test.bad", title="Bad", sample=SAMPLE, texts=texts)


def test_withdrawing_takes_back_what_waits_of_a_group_and_nothing_else():
    made = [make_message(dedupe_key=f"booking:{key}") for key in ("1:offer:5", "1:reminder", "17:reminder")]
    told = make_message(dedupe_key="booking:1:confirmation")
    settling.note_told(message=told, still=Message.objects.all(), state=State.SENT, at=AT)

    count = posting.withdraw(dedupe_prefix="booking:1:", at=AT + DAY)

    states = [Message.objects.get(pk=one.pk).state for one in (*made, told)]
    assert count == 2
    assert states == [State.WITHDRAWN, State.WITHDRAWN, State.QUEUED, State.SENT]


def test_forgetting_empties_what_says_who_it_was():
    theirs = make_message(to=make_addressee(number=7, phone="555-555-0101"), about_url="/households/3/")
    other = make_message(to=make_addressee(number=8))
    unsubscribing.unsubscribe(who={"key": unsubscribing.key_of("ada@example.org"), "number": 7}, at=AT)

    count = posting.forget(number=7, at=AT)

    theirs.refresh_from_db()
    other.refresh_from_db()
    emptied = (theirs.recipient_name, theirs.recipient_email, theirs.recipient_phone, theirs.subject)
    assert count == 1
    assert emptied == ("", "", "", "")
    assert (theirs.body, theirs.about_url, theirs.last_error) == ("", "", "")
    assert theirs.state == State.WITHDRAWN
    assert other.recipient_name == "Ada Holm"
    assert not Unsubscribed.objects.exists()


def test_a_message_that_is_over_before_it_may_go_is_refused():
    with pytest.raises(ValidationError, match="of no use any more before it may be sent"):
        make_message(not_before=AT + DAY, useless_after=AT)


def test_a_call_and_a_letter_keep_their_address():
    assert make_call().recipient_phone == "555-555-0101"
    assert make_letter().postal_lines == ["5 Reed St", "Tidewell 00431"]
