"""The call list: one key for what came of a call; what counts from being told counts from the call."""

import datetime

import pytest
from django.urls import reverse
from django.utils import timezone

from outreach.post import calling
from outreach.post.models import Message
from outreach.staff.roles import Role
from tests.factories.post import AT, make_addressee, make_call, make_kind, make_message

pytestmark = [pytest.mark.django_db, pytest.mark.postgres, pytest.mark.usefixtures("known_kinds")]
State, Channel = Message.State, Message.Channel
HOUR = datetime.timedelta(hours=1)
LINES = ("5 Reed St", "Tidewell 00431")


def with_postal_address():
    return make_message(to=make_addressee(email="", phone="555-555-0101", postal_lines=LINES))


def press(client, call, outcome):
    return client.post(reverse("call_outcome", args=[call.pk]), {"outcome": outcome}, follow=True)


def test_said_counts_as_told_from_the_call(coordinator):
    told = []
    make_kind(when_told=lambda message, at: told.append((message.pk, at)))
    call = make_call()

    calling.said(message=call, by=coordinator, at=AT + HOUR)
    calling.said(message=call, by=coordinator, at=AT + 2 * HOUR)

    call.refresh_from_db()
    assert told == [(call.pk, AT + HOUR)]
    assert (call.state, call.settled_at, call.settled_by) == (State.SAID, AT + HOUR, coordinator)
    assert not calling.to_call(AT + HOUR).exists()


def test_whoever_was_not_reached_comes_up_again_later(coordinator):
    call = calling.not_reached(message=make_call(), by=coordinator, at=AT)

    assert not calling.to_call(AT + HOUR).exists()
    assert calling.to_call(AT + calling.CALL_AGAIN_AFTER).get() == call


def test_after_so_many_calls_a_letter_is_written(coordinator):
    call, states = with_postal_address(), []

    for number in range(calling.MOST_CALLS):
        call = calling.not_reached(message=call, by=coordinator, at=AT + number * HOUR)
        states.append(call.channel)

    assert states == [Channel.CALL] * (calling.MOST_CALLS - 1) + [Channel.LETTER]
    assert Message.objects.letters().due(AT + 24 * HOUR).get() == call
    assert call.last_error == calling.NOBODY_ANSWERED


def test_without_a_postal_address_it_is_given_up_visibly(coordinator, as_coordinator):
    call = make_call()

    for number in range(calling.MOST_CALLS):
        call = calling.not_reached(message=call, by=coordinator, at=AT + number * HOUR)

    assert call.state == State.GIVEN_UP
    assert "1 message was given up" in as_coordinator.get(reverse("messages")).content.decode()


@pytest.mark.parametrize(
    ("lines", "becomes"), [(LINES, (State.QUEUED, Channel.LETTER)), ((), (State.GIVEN_UP, Channel.CALL))]
)
def test_a_wrong_number_is_not_called_again(coordinator, lines, becomes):
    call = make_message(to=make_addressee(email="", phone="555-555-0101", postal_lines=lines))

    now = calling.wrong_number(message=call, by=coordinator, at=AT)

    assert (now.state, now.channel) == becomes
    assert now.recipient_phone == ""
    assert now.last_error == calling.WRONG_NUMBER


def test_the_list_says_what_to_say_in_the_residents_language(as_coordinator):
    make_message(
        to=make_addressee(name="Bea Lima", language="es", email="", phone="555-555-0102"), at=timezone.now()
    )

    page = as_coordinator.get(reverse("calls")).content.decode()

    assert "Bea Lima" in page
    assert 'href="tel:555-555-0102"' in page
    assert 'lang="es"' in page
    assert "tiene lugares el 9 May 2026" in page
    assert "in Spanish" in page


@pytest.mark.parametrize(
    ("outcome", "words", "state"),
    [
        ("said", "Ada Holm: said.", State.SAID),
        ("not_reached", "Ada Holm: not reached. Call again from", State.QUEUED),
        ("wrong_number", "Ada Holm: given up", State.GIVEN_UP),
        ("nonsense", "Say what came of the call", State.QUEUED),
    ],
)
def test_one_button_says_what_came_of_a_call(as_coordinator, outcome, words, state):
    call = make_call()

    answer = press(as_coordinator, call, outcome)

    call.refresh_from_db()
    assert words in answer.content.decode()
    assert call.state == state


def test_what_is_over_is_not_said_any_more(as_coordinator):
    call = make_call(useless_after=AT + HOUR)

    page = as_coordinator.get(reverse("calls")).content.decode()

    call.refresh_from_db()
    assert "Nobody is to be called now" in page
    assert call.state == State.GIVEN_UP


def test_what_runs_out_first_is_on_top():
    later, first = make_call(), make_call(useless_after=AT + HOUR)

    assert list(calling.to_call(AT)) == [first, later]


@pytest.mark.parametrize("role", [Role.DOOR_CREW, Role.CITY_ANALYST, Role.AUDITOR])
def test_only_the_office_calls(as_role, role):
    client, call = as_role(role), make_call()

    assert client.get(reverse("calls")).status_code == 403
    assert press(client, call, "said").status_code == 403
