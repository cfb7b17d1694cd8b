"""The outbox and the texts on screen."""

import datetime

import pytest
from django.urls import reverse
from django.utils import timezone

from outreach.post import settling
from outreach.post.models import Message, TextVersion
from outreach.staff.roles import Role
from tests.factories.post import (
    AT,
    ENGLISH,
    SPANISH,
    make_addressee,
    make_call,
    make_message,
    make_text_version,
)

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("known_kinds")]
State, Channel = Message.State, Message.Channel
QUERIES = 16


def page_of(client, name, *arguments, **query):
    return client.get(reverse(name, args=arguments), query).content.decode()


def given_up(**differences):
    message = make_message(**differences)
    Message.objects.filter(pk=message.pk).update(
        state=State.GIVEN_UP, settled_at=AT, last_error="The mail server refused the address (550)."
    )
    message.refresh_from_db()
    return message


def step(client, message, name):
    answer = client.post(reverse("message_step", args=[message.pk, name]), follow=True)
    message.refresh_from_db()
    return answer.content.decode()


class TestOutbox:
    def test_the_list_is_narrowed_by_state_way_kind_and_name(self, as_coordinator):
        make_message(to=make_addressee(name="Ada Holm"))
        make_call(kind="test.reminder")
        queries = {
            (("state", "queued"),): 2,
            (("channel", "call"),): 1,
            (("kind", "test.confirmation"),): 1,
            (("recipient_name", "holm"),): 2,
            (("recipient_name", "nobody"),): 0,
        }

        found = {query: page_of(as_coordinator, "messages", **dict(query)) for query in queries}

        assert {query: page.count('<th scope="row">') for query, page in found.items()} == queries
        assert "No message is like that" in found[(("recipient_name", "nobody"),)]

    def test_an_empty_outbox_says_what_will_be_in_it(self, as_coordinator):
        assert "They are written by themselves" in page_of(as_coordinator, "messages")

    def test_it_says_what_waits_without_a_mail_server(self, as_coordinator, settings):
        settings.EMAIL_HOST = ""
        make_message()

        assert "No mail server is set, so 1 e-mail waits" in page_of(as_coordinator, "messages")

    @pytest.mark.parametrize("rows", [5, 50])
    def test_the_list_asks_the_database_the_same_whatever_its_length(
        self, as_coordinator, django_assert_max_num_queries, rows
    ):
        for _number in range(rows):
            make_message()

        with django_assert_max_num_queries(QUERIES):
            page_of(as_coordinator, "messages")

    def test_a_message_shows_what_it_says_and_what_went_wrong(self, as_coordinator):
        message = given_up(about_url="/workshops/")

        page = page_of(as_coordinator, "message", message.pk)

        assert "you have places on 9 May 2026" in page
        assert "refused the address (550)" in page
        assert "ada@example.org" in page
        assert 'href="/workshops/"' in page

    def test_what_was_given_up_can_be_tried_again(self, as_coordinator):
        message = given_up()

        words = step(as_coordinator, message, "again")

        assert "The message is now: waits, by e-mail." in words
        assert (message.state, message.attempts, message.settled_at) == (State.QUEUED, 0, None)

    @pytest.mark.parametrize(("name", "channel"), [("call", Channel.CALL), ("write", Channel.LETTER)])
    def test_another_way_can_be_taken(self, as_coordinator, name, channel):
        to = make_addressee(phone="555-555-0101", postal_lines=("5 Reed St",))
        message = given_up(to=to)

        step(as_coordinator, message, name)

        assert (message.state, message.channel) == (State.QUEUED, channel)

    def test_a_way_that_is_not_known_is_refused_in_words(self, as_coordinator):
        message = given_up()

        assert "A call that waits needs a phone number." in step(as_coordinator, message, "call")
        assert message.state == State.GIVEN_UP

    def test_leaving_it_ends_it_and_says_who_did(self, as_coordinator, coordinator):
        message = given_up()

        step(as_coordinator, message, "leave")

        assert (message.state, message.settled_by) == (State.WITHDRAWN, coordinator)

    def test_what_was_told_is_not_sent_again(self, as_coordinator):
        message = make_message()
        settling.note_told(message=message, still=Message.objects.all(), state=State.SENT, at=AT)

        assert "Its reader was told already." in step(as_coordinator, message, "again")
        assert message.state == State.SENT

    def test_what_is_over_is_not_sent_again(self, as_coordinator):
        message = given_up(useless_after=AT + datetime.timedelta(hours=1))

        assert "Its time is over." in step(as_coordinator, message, "again")
        assert "Try again now" not in page_of(as_coordinator, "message", message.pk)

    def test_what_is_being_sent_is_left_alone(self, as_coordinator):
        message = make_message()
        Message.objects.filter(pk=message.pk).update(
            state=State.LEASED, lease_until_at=timezone.now() + datetime.timedelta(minutes=5)
        )

        assert "It is being sent at this moment." in step(as_coordinator, message, "leave")

    def test_an_unknown_step_is_not_found(self, as_coordinator):
        answer = as_coordinator.post(reverse("message_step", args=[make_message().pk, "burn"]))

        assert answer.status_code == 404

    @pytest.mark.parametrize("role", [Role.DOOR_CREW, Role.CITY_ANALYST, Role.AUDITOR])
    def test_only_the_office_reads_messages(self, as_role, role):
        client, message = as_role(role), make_message()

        assert client.get(reverse("message", args=[message.pk])).status_code == 403
        assert client.get(reverse("text", args=["test.confirmation"])).status_code == 403


def typed(button="save", **differences):
    fields = {
        "en-subject": ENGLISH.subject,
        "en-body": ENGLISH.body,
        "en-after": 0,
        "es-subject": SPANISH.subject,
        "es-body": SPANISH.body,
        "es-after": 0,
        button: "1",
    }
    return fields | {name.replace("_", "-"): value for name, value in differences.items()}


class TestTexts:
    @pytest.fixture
    def send(self, as_coordinator):
        def send(**differences):
            address = reverse("text", args=["test.confirmation"])
            return as_coordinator.post(address, typed(**differences), follow=True)

        return send

    def test_the_list_says_which_wording_is_in_use(self, as_coordinator):
        make_text_version(version=1).save()

        page = page_of(as_coordinator, "texts")

        assert "English: version 1 · Spanish: as it came" in page
        assert "yes, a reminder" in page

    def test_only_the_language_that_was_changed_gets_a_version(self, send, coordinator):
        answer = send(es_body="Nuevo texto: $link")

        assert "Messages from now on use the new wording" in answer.content.decode()
        [version] = TextVersion.objects.all()
        assert (version.language, version.version, version.body) == ("es", 1, "Nuevo texto: $link")
        assert version.written_by == coordinator

    def test_a_message_keeps_the_wording_it_was_written_in(self, send):
        before = make_message()

        send(en_body="New words: $link")

        before.refresh_from_db()
        assert before.text_version == 0
        assert make_message().body.startswith("New words")

    def test_the_preview_fills_in_sample_values_and_keeps_nothing(self, send):
        page = send(button="preview", en_body="Dear $name: $link").content.decode()

        assert "Dear Ada Holm: " in page
        assert not TextVersion.objects.exists()

    @pytest.mark.parametrize(
        ("differences", "sentence"),
        [
            ({"en_body": "Hello $nme, $link"}, "Nobody fills in $nme."),
            ({"en_subject": "Only $5"}, "A $ stands alone."),
            ({"es_body": "Hola $name"}, "The text must contain $link"),
            ({"es_subject": ""}, "Nothing is filled in here yet."),
        ],
    )
    def test_what_is_wrong_is_said_and_nothing_is_kept(self, send, differences, sentence):
        answer = send(**{"en_body": "Better $link"} | differences)

        assert answer.status_code == 422
        assert sentence in answer.content.decode()
        assert not TextVersion.objects.exists()

    def test_nobody_overwrites_what_they_have_not_read(self, send):
        make_text_version(version=1).save()

        answer = send(en_body="Mine $link", es_body="Otro $link")

        assert answer.status_code == 422
        assert "Someone else changed this text meanwhile" in answer.content.decode()
        assert TextVersion.objects.count() == 1, "neither language was kept"

    def test_earlier_wordings_are_read_and_begun_from(self, as_coordinator):
        make_text_version(version=1, body="The first: $link").save()
        make_text_version(version=2, body="The second: $link").save()

        page = page_of(as_coordinator, "text", "test.confirmation")
        again = page_of(as_coordinator, "text", "test.confirmation", en=1)

        assert "The first: $link" in page
        assert page.count("<textarea") == again.count("<textarea") == 2
        assert "The first: $link</textarea>" in again.replace("\r", "").replace("\n", "")

    def test_an_unknown_kind_is_not_found(self, as_coordinator):
        assert as_coordinator.get(reverse("text", args=["no.such"])).status_code == 404


def test_set_up_and_workshops_lead_to_messages(as_coordinator):
    for name in ("set_up", "workshops", "followup"):
        assert reverse("messages") in page_of(as_coordinator, name)
