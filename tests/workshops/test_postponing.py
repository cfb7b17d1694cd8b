"""A workshop that is moved or called off: everyone hears, and places are kept until they say no."""

import datetime

import pytest
from django.core.exceptions import ValidationError

from outreach.post.models import Message
from outreach.workshops import due, holding, planning, postponing, registering
from outreach.workshops.models import Offer, Workshop
from outreach.workshops.postponing import NewDate
from tests.factories.households import make_participant
from tests.factories.places import make_venue
from tests.factories.staff import make_member
from tests.workshops.sign_ups import AT, make_public_workshop, sign_up

pytestmark = [pytest.mark.django_db, pytest.mark.postgres]

LATER = datetime.date(2026, 5, 23)


def postpone(workshop, **differences):
    to = {
        "held_on": LATER,
        "starts_at_time": workshop.starts_at_time,
        "ends_at_time": workshop.ends_at_time,
        "venue": workshop.venue,
    } | differences
    reason = to.pop("reason", "The hall is flooded")
    return postponing.postpone(
        workshop=workshop, to=NewDate(**to), reason=reason, by=make_member(), at=differences.get("at", AT)
    )


def told(kind):
    return sorted(Message.objects.filter(kind=f"workshops.{kind}").values_list("recipient_email", flat=True))


def test_everyone_on_the_list_is_told_and_keeps_the_place():
    workshop = make_public_workshop(seats=1, confirm_by_on=datetime.date(2026, 5, 6))
    booked, waiting = sign_up(workshop), sign_up(workshop)
    person = make_participant(email="ben@example.org")
    registering.register(workshop=workshop, participant=person, at=AT, by=make_member(), state="standby")

    postpone(workshop)

    workshop.refresh_from_db()
    assert (workshop.held_on, workshop.postponed_from_on) == (LATER, datetime.date(2026, 5, 9))
    assert workshop.confirm_by_on == datetime.date(2026, 5, 20)
    assert workshop.booked_people == 1
    assert told("postponed") == sorted([booked.email, waiting.email, "ben@example.org"])
    [text] = Message.objects.filter(recipient_email=booked.email, kind="workshops.postponed")
    assert "Saturday, 9 May 2026" in text.body
    assert "Saturday, 23 May 2026" in text.body


def test_the_reminder_of_the_old_day_is_taken_back_and_a_new_one_comes():
    workshop = make_public_workshop()
    sign_up(workshop)
    due.settle_due(workshop.starts_at - datetime.timedelta(days=1))

    postpone(workshop)
    moved = Workshop.objects.get()
    due.settle_due(moved.starts_at - datetime.timedelta(days=1))

    states = Message.objects.filter(kind="workshops.reminder").order_by("pk").values_list("state", flat=True)
    assert list(states) == ["withdrawn", "queued"]


def test_another_venue_alone_is_a_move_too():
    workshop = make_public_workshop()
    sign_up(workshop)

    moved = postpone(workshop, held_on=workshop.held_on, venue=make_venue(name="Fern Library"))

    assert moved.postponed_from_venue.name == "Orchard House"
    assert moved.revision == 1


@pytest.mark.parametrize(
    ("differences", "sentence"),
    [
        ({"held_on": datetime.date(2026, 5, 1)}, "still to come"),
        ({"reason": " "}, "Say why"),
        ({"held_on": datetime.date(2026, 5, 9)}, "as they were"),
    ],
)
def test_a_move_that_makes_no_sense_is_refused(differences, sentence):
    with pytest.raises(ValidationError, match=sentence):
        postpone(make_public_workshop(), **differences)

    assert not Message.objects.exists()


def test_a_workshop_with_sign_ups_is_not_moved_in_silence():
    workshop = make_public_workshop()
    sign_up(workshop)
    workshop.refresh_from_db()
    workshop.held_on = LATER

    with pytest.raises(ValidationError, match="so that they are told"):
        planning.correct(workshop=workshop, by=make_member(), at=AT)


def test_a_workshop_that_is_called_off_tells_everyone_and_keeps_no_offers():
    workshop = make_public_workshop(seats=1)
    booked, waiting = sign_up(workshop), sign_up(workshop)
    workshop.refresh_from_db()
    workshop.seats = 2
    planning.correct(workshop=workshop, by=make_member(), at=AT)

    holding.cancel(workshop=workshop, reason="Storm", by=make_member(), at=AT)

    assert told("cancellation") == sorted([booked.email, waiting.email])
    assert Offer.objects.get().outcome == "withdrawn"
    assert "Storm" not in Message.objects.filter(kind="workshops.cancellation").first().body


def test_calling_off_what_is_long_past_writes_to_nobody():
    workshop = make_public_workshop()
    sign_up(workshop)

    holding.cancel(
        workshop=workshop, reason="Never was", by=make_member(), at=AT + datetime.timedelta(days=30)
    )

    assert told("cancellation") == []


def test_whoever_came_is_thanked_when_the_list_is_closed():
    workshop = make_public_workshop()
    came, _missed = sign_up(workshop), sign_up(workshop)
    after = workshop.starts_at + datetime.timedelta(hours=3)
    registering.mark_attended(registration=came.registrations.get(), at=after, by=make_member())

    holding.close(workshop=workshop, by=make_member(), at=after)

    assert told("thanks") == [came.email]
