"""Waves open from handout dates, once each; reminders have spacing and an end, and stop at an answer or a no."""

import datetime

import pytest
from django.core.management import call_command
from django.test import Client

from outreach.followup import answering, opening, reminding
from outreach.followup.answer_reading import AnswerAsGiven
from outreach.followup.models import Invitation, Wave
from outreach.households import consent, merging
from outreach.post import sending, unsubscribing
from outreach.post.models import Message
from outreach.staff import rounds
from tests.factories.bins import make_handout
from tests.factories.followup import make_answer, make_invitation, make_wave
from tests.factories.households import make_household, make_participant

pytestmark = [pytest.mark.django_db, pytest.mark.postgres]

HANDED = datetime.date(2025, 5, 9)
DUE = datetime.date(2025, 8, 9)


def at(day):
    """Noon of the programme's day."""
    return datetime.datetime(day.year, day.month, day.day, 19, tzinfo=datetime.UTC)


def days(number):
    return datetime.timedelta(days=number)


def make_home(*, email="ada@example.org", phone="", handed_on=HANDED, **differences):
    home = make_household(**differences)
    make_participant(household=home, full_name="Ada Holm", email=email, phone=phone)
    make_handout(household=home, handed_on=handed_on)
    return home


def sent():
    Message.objects.filter(state="queued").update(state="sent", settled_at=at(DUE))


def test_a_wave_opens_on_its_day_and_not_before():
    home = make_home()

    assert opening.open_due(at(DUE - days(1))) == 0
    assert opening.open_due(at(DUE)) == 1

    asked = Invitation.objects.get()
    assert (asked.household, asked.wave.months_after, asked.opened_on) == (home, 3, DUE)
    assert (asked.closes_on, asked.channel, asked.reminders_sent) == (DUE + days(42), "email", 0)
    message = Message.objects.get()
    assert (message.kind, message.recipient_email) == ("followup.invitation", "ada@example.org")
    assert "/answer/" in message.body


def test_opening_twice_asks_once():
    make_home()

    assert [opening.open_due(at(DUE + days(n))) for n in (0, 0, 5)] == [1, 0, 0]
    assert Message.objects.count() == 1


def test_the_command_and_the_round_do_the_same(capsys):
    make_home(handed_on=datetime.date.today() - days(95))

    call_command("invitations_due")
    rounds._rounds["waves, and reminders of them"].act(datetime.datetime.now(datetime.UTC))

    assert "Asked: 1." in capsys.readouterr().out
    assert Invitation.objects.count() == 1


def test_whoever_moved_said_no_or_answered_is_not_asked(coordinator):
    make_home(ended_on=DUE - days(1), bin_after_move="came_along")
    said_no = make_home()
    consent.say(
        household=said_no, purpose="follow_up", is_given=False, how="office", at=at(HANDED), by=coordinator
    )
    make_answer(household=make_home(), wave=make_wave(months_after=3), answered_on=DUE)

    assert opening.open_due(at(DUE)) == 0


def test_what_came_due_longer_ago_than_it_can_be_answered_is_let_go():
    make_home()

    assert opening.open_due(at(DUE + days(43))) == 0
    assert opening.open_due(at(DUE + days(42))) == 1


def test_a_wave_closes_before_the_next_comes_due():
    make_home()
    Wave.objects.filter(months_after=3).update(days_open=120)

    opening.open_due(at(DUE))

    assert Invitation.objects.get().closes_on == datetime.date(2025, 11, 8)


def test_a_wave_that_is_not_asked_any_more_asks_nobody():
    make_home()
    Wave.objects.update(is_open=False)

    assert opening.open_due(at(DUE)) == 0


@pytest.mark.parametrize(
    ("ways", "channel"),
    [
        ({"email": "", "phone": "555-555-0101"}, "call"),
        ({"email": "", "phone": ""}, "letter"),
        ({"email": "ada@example.org", "phone": "555-555-0101"}, "email"),
    ],
)
def test_without_an_address_it_is_a_call_or_a_letter(ways, channel):
    make_home(**ways)

    opening.open_due(at(DUE))

    assert Invitation.objects.get().channel == Message.objects.get().channel == channel


def test_a_household_of_which_nobody_is_known_gets_a_letter_in_its_language():
    make_handout(household=make_household(language="es"), handed_on=HANDED)

    opening.open_due(at(DUE))

    message = Message.objects.get()
    assert (message.channel, message.language, message.recipient_name) == (
        "letter",
        "es",
        "Al hogar con la compostera",
    )


def test_nothing_is_written_to_whom_was_forgotten():
    home = make_home()
    home.participants.update(name_key="FORGOTTEN 1", email="", phone="")

    assert opening.open_due(at(DUE)) == 0


def test_reminders_have_spacing_and_an_end():
    make_home()
    reminded = []
    for day in range(40):
        done = reminding.ask_due(at(DUE + days(day)))
        reminded += [day] * done.reminded
        sent()

    assert reminded == [10, 20]
    assert Invitation.objects.get().reminders_sent == 2
    assert Message.objects.filter(kind="followup.reminder").count() == 2


def test_a_wave_without_reminders_reminds_nobody():
    make_home()
    Wave.objects.update(reminders=0)
    opening.open_due(at(DUE))
    sent()

    assert reminding.remind_due(at(DUE + days(20))) == 0


def test_whoever_was_not_called_yet_is_not_reminded():
    make_home(email="", phone="555-555-0101")
    opening.open_due(at(DUE))

    assert reminding.remind_due(at(DUE + days(20))) == 0


def test_an_answer_by_whatever_way_ends_reminders_and_knows_how_many_there_were():
    home = make_home()
    opening.open_due(at(DUE))
    sent()
    reminding.remind_due(at(DUE + days(10)))
    given = AnswerAsGiven(
        household=home, answered_on=DUE + days(11), composting="yes", channel="paper", food_text="1 gal"
    )

    answer = answering.record_answer(given=given, by=None, at=at(DUE + days(11))).answer
    done = reminding.ask_due(at(DUE + days(25)))

    assert (answer.reminders, answer.wave.months_after) == (1, 3)
    assert (done.settled, done.reminded) == (1, 0)
    assert Invitation.objects.get().settled_because == "answered"
    assert Message.objects.get(kind="followup.reminder").state == "withdrawn"


def test_an_answer_of_whom_nobody_asked_knows_of_no_reminders():
    home = make_home()
    given = AnswerAsGiven(household=home, answered_on=DUE, composting="yes", channel="paper")

    assert answering.record_answer(given=given, by=None, at=at(DUE)).answer.reminders is None


def test_a_no_ends_reminders(coordinator):
    home = make_home()
    opening.open_due(at(DUE))
    sent()

    consent.say(household=home, purpose="follow_up", is_given=False, how="office", at=at(DUE), by=coordinator)

    assert reminding.ask_due(at(DUE + days(10))).reminded == 0
    assert Invitation.objects.get().settled_because == "not_to_ask"


def test_whoever_unsubscribed_is_reminded_no_more():
    make_home()
    opening.open_due(at(DUE))
    sent()
    path = unsubscribing.path_of(Message.objects.get())
    Client().post(path)

    assert reminding.ask_due(at(DUE + days(10))).reminded == 0
    assert Invitation.objects.get().settled_because == "not_to_ask"


def test_a_move_and_the_last_day_end_reminders():
    home, _other = make_home(), make_home()
    opening.open_due(at(DUE))
    home.ended_on, home.bin_after_move = DUE + days(3), "left_behind"
    home.save()

    reminding.settle_due(at(DUE + days(43)))

    because = Invitation.objects.order_by("pk").values_list("settled_because", flat=True)
    assert list(because) == ["moved", "over"]


def test_two_records_of_one_household_are_reminded_once(coordinator):
    kept, absorbed = make_home(), make_home(email="ben@example.org")
    opening.open_due(at(DUE))
    sent()
    merging.merge(kept=kept, absorbed=absorbed, by=coordinator, at=at(DUE), reason="The same door")

    assert {one.counted_under for one in Invitation.objects.all()} == {kept}
    assert reminding.remind_due(at(DUE + days(10))) == 1


def test_mails_that_are_sent_after_the_last_day_are_not_sent(settings):
    settings.EMAIL_BACKEND = "django.core.mail.backends.locmem.EmailBackend"
    make_home()
    opening.open_due(at(DUE))

    sending.send_due(clock=lambda: at(DUE + days(43)))

    assert Message.objects.get().state != "sent"


def test_an_invitation_that_is_here_is_not_made_again():
    home = make_home()
    make_invitation(household=home, wave=make_wave(months_after=3))

    assert opening.open_due(at(DUE)) == 0
