"""E-mails arrive once, are tried again with growing waits, are given up in the end and never come too late."""

import datetime

import pytest

from outreach.post import kinds, posting, sending, settling
from outreach.post.models import Message
from outreach.post.sending import MOST_ATTEMPTS, WAITS
from tests.factories.post import AT, SAMPLE, make_addressee, make_call, make_kind, make_letter, make_message

pytestmark = [pytest.mark.django_db, pytest.mark.postgres]
MINUTE, HOUR = datetime.timedelta(minutes=1), datetime.timedelta(hours=1)
State = Message.State


class Clock:
    def __init__(self, at=AT):
        self.at = at

    def __call__(self):
        return self.at


def send_one(claimed):
    run = sending.Run(clock=Clock())
    run.send(claimed)
    run.connection.close()


def test_a_mail_arrives_once_with_what_it_says(mailbox):
    message = make_message()

    first = sending.send_due(clock=Clock())
    again = sending.send_due(clock=Clock(AT + HOUR))

    message.refresh_from_db()
    [mail] = mailbox.received
    assert (first.sent, again.sent) == (1, 0)
    assert mailbox.recipients == ["ada@example.org"]
    assert mail["Subject"] == "Your places on 9 May 2026"
    assert mail.get_content().splitlines() == message.body.splitlines()
    assert (message.state, message.settled_at) == (State.SENT, AT)


def test_a_mail_names_itself_its_language_and_that_nobody_typed_it(mailbox, settings):
    settings.DEFAULT_FROM_EMAIL = "Compost programme <compost@example.org>"
    message = make_message(to=make_addressee(language="es"))

    sending.send_due(clock=Clock())

    [mail] = mailbox.received
    assert mail["Message-ID"] == f"<{message.message_id}@compost.example.org>"
    assert mail["Content-Language"] == "es"
    assert mail["Auto-Submitted"] == "auto-generated"
    assert mail["From"] == "Compost programme <compost@example.org>"
    assert "List-Unsubscribe" not in mail
    assert "Puede cambiarlos aquí" in mail.get_content()


@pytest.mark.parametrize(
    ("language", "words"), [("en", "No more reminders:"), ("es", "No más recordatorios:")]
)
def test_a_reminder_can_be_unsubscribed_from_with_one_click(mailbox, language, words):
    make_message(kind="test.reminder", to=make_addressee(language=language))

    sending.send_due(clock=Clock())

    [mail] = mailbox.received
    address = mail["List-Unsubscribe"].strip().strip("<>")
    assert address.startswith("https://compost.example.org/messages/no-reminders/")
    assert mail["List-Unsubscribe-Post"] == "List-Unsubscribe=One-Click"
    assert f"{words} {address}" in mail.get_content()


def test_a_server_that_is_busy_is_asked_again_later(mailbox):
    message = make_message()
    mailbox.answers = ["451 Try again later"]

    first = sending.send_due(clock=Clock())
    too_soon = sending.send_due(clock=Clock(AT + WAITS[0] / 2))
    message.refresh_from_db()
    waits_until, error = message.next_try_at, message.last_error
    then = sending.send_due(clock=Clock(AT + WAITS[0]))

    assert (first.put_off, too_soon.all, then.sent) == (1, 0, 1)
    assert waits_until == AT + WAITS[0]
    assert "451" in error
    assert len(mailbox.received) == 1


def test_the_waits_grow_and_end_in_giving_up(mailbox):
    message, clock, waited = make_message(), Clock(), []
    mailbox.answers = ["451 Try again later"] * (MOST_ATTEMPTS + 1)

    while message.is_waiting:
        before = clock.at
        done = sending.send_due(clock=clock)
        message.refresh_from_db()
        clock.at = message.next_try_at
        waited.append(clock.at - before)

    assert done.given_up == 1
    assert (message.state, message.attempts) == (State.GIVEN_UP, MOST_ATTEMPTS)
    assert waited[:-1] == sorted(waited[:-1])
    assert sum(waited[:-1], datetime.timedelta()) > datetime.timedelta(days=1)
    assert mailbox.received == []


def test_an_address_that_is_refused_for_good_is_given_up_at_once(mailbox):
    bad, good = make_message(), make_message(to=make_addressee(email="bo@example.org"))
    mailbox.recipient_answers = {"ada@example.org": "550 No such mailbox"}

    done = sending.send_due(clock=Clock())

    bad.refresh_from_db()
    good.refresh_from_db()
    assert (done.sent, done.given_up) == (1, 1)
    assert (bad.state, good.state) == (State.GIVEN_UP, State.SENT)
    assert "550" in bad.last_error
    assert "ada@example.org" not in bad.last_error


def test_a_mailbox_that_is_full_is_tried_again(mailbox):
    message = make_message()
    mailbox.recipient_answers = {"ada@example.org": "452 Mailbox full"}

    sending.send_due(clock=Clock())

    message.refresh_from_db()
    assert message.state == State.QUEUED


def test_a_server_that_is_away_costs_one_mail_one_try(mailbox, settings):
    settings.EMAIL_PORT = 1
    first, second = make_message(), make_message()

    done = sending.send_due(clock=Clock())

    first.refresh_from_db()
    second.refresh_from_db()
    assert "cannot be reached" in done.stopped_because
    assert (first.attempts, second.attempts) == (1, 0)


def test_what_is_over_is_never_sent_and_shows_as_given_up(mailbox):
    late = make_message(useless_after=AT + HOUR)
    reminder = make_message(kind="test.reminder", useless_after=AT + HOUR)

    sending.send_due(clock=Clock(AT + HOUR))

    late.refresh_from_db()
    reminder.refresh_from_db()
    assert mailbox.received == []
    assert (late.state, late.last_error) == (State.GIVEN_UP, settling.TOO_LATE)
    assert reminder.state == State.WITHDRAWN


def test_nothing_is_sent_before_its_time(mailbox):
    make_message(not_before=AT + HOUR)

    early = sending.send_due(clock=Clock(AT + HOUR - MINUTE))
    then = sending.send_due(clock=Clock(AT + HOUR))

    assert (early.sent, then.sent) == (0, 1)


def test_calls_and_letters_are_not_mailed(mailbox):
    make_call()
    make_letter()

    assert sending.send_due(clock=Clock()).all == 0


def test_the_kind_hears_when_it_was_sent_once(mailbox):
    told = []
    make_kind(when_told=lambda message, at: told.append((message.dedupe_key, at)))
    make_message(dedupe_key="offer:7")

    sending.send_due(clock=Clock())
    sending.send_due(clock=Clock(AT + HOUR))

    assert told == [("offer:7", AT)]


def test_a_fault_in_what_follows_is_made_up_for_and_sends_nothing_twice(mailbox, caplog):
    told = []

    def fail_once(message, at):
        told.append(at)
        if len(told) == 1:
            raise RuntimeError("no such offer")

    make_kind(when_told=fail_once)
    message = make_message()

    sending.send_due(clock=Clock())
    message.refresh_from_db()
    state = message.state
    sending.send_due(clock=Clock(AT + HOUR))
    sending.send_due(clock=Clock(AT + HOUR))

    assert state == State.SENT
    assert told == [AT, AT]
    assert len(mailbox.received) == 1
    assert "no such offer" in caplog.text


def test_whoever_is_killed_each_time_is_given_up(mailbox):
    message = make_message()
    Message.objects.filter(pk=message.pk).update(
        attempts=MOST_ATTEMPTS, state=State.LEASED, lease_until_at=AT - MINUTE
    )

    done = sending.send_due(clock=Clock())

    assert done.given_up == 1
    assert mailbox.received == []


def test_what_was_withdrawn_while_it_went_out_says_that_it_went_out(mailbox):
    message = make_message(dedupe_key="booking:1:reminder")
    claimed = sending.claim(at=AT)
    posting.withdraw(dedupe_prefix="booking:1:", at=AT)

    send_one(claimed)

    message.refresh_from_db()
    assert message.state == State.SENT


def test_a_mail_that_was_withdrawn_while_it_was_refused_stays_withdrawn(mailbox):
    message = make_message(dedupe_key="booking:1:reminder")
    claimed = sending.claim(at=AT)
    posting.withdraw(dedupe_prefix="booking:1:", at=AT)
    mailbox.answers = ["451 Try again later"]

    send_one(claimed)

    message.refresh_from_db()
    assert message.state == State.WITHDRAWN


def test_what_runs_out_first_goes_first(mailbox):
    make_message(to=make_addressee(email="later@example.org"))
    make_message(to=make_addressee(email="first@example.org"), useless_after=AT + HOUR)

    sending.send_due(clock=Clock())

    assert mailbox.recipients == ["first@example.org", "later@example.org"]


def test_a_round_of_mail_sends_a_handful(mailbox, monkeypatch):
    monkeypatch.setattr(sending, "IN_ONE_ROUND", 2)
    for _number in range(3):
        make_message()

    sending.round_of_mail(AT)

    assert len(mailbox.received) == 2


def test_without_a_server_mails_wait(known_kinds, settings):
    settings.EMAIL_HOST = ""
    message = make_message()

    sending.round_of_mail(AT)

    message.refresh_from_db()
    assert (message.state, message.attempts) == (State.QUEUED, 0)


def test_a_kind_that_nobody_writes_any_more_is_still_sent(mailbox, monkeypatch):
    make_message(values=SAMPLE)
    monkeypatch.setattr(kinds, "_kinds", {})

    assert sending.send_due(clock=Clock()).sent == 1
