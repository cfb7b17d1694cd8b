"""Held, closed, opened again, cancelled."""

import datetime

import pytest
from django.core.exceptions import ValidationError

from outreach.staff.models import AuditEntry
from outreach.workshops import holding, registering
from outreach.workshops.models import Registration
from tests.factories.workshops import make_registration, make_workshop

pytestmark = [pytest.mark.django_db, pytest.mark.postgres]
AT = datetime.datetime(2025, 5, 9, 19, tzinfo=datetime.UTC)


@pytest.fixture
def act(coordinator):
    def acting(action, **arguments):
        return action(by=coordinator, at=AT, **arguments)

    return acting


def test_closing_says_that_the_booked_have_missed_it(act):
    workshop = make_workshop(state="held")
    make_registration(workshop=workshop)
    make_registration(workshop=workshop, state="attended")

    closed = act(holding.close, workshop=workshop)

    assert closed.state == "closed"
    assert sorted(Registration.objects.at(workshop).values_list("state", flat=True)) == ["attended", "missed"]


def test_a_closed_list_changes_no_more_until_it_is_opened_again(act):
    workshop = make_workshop(state="closed")
    registration = make_registration(workshop=workshop, state="missed")

    with pytest.raises(ValidationError, match="Open it again"):
        act(registering.mark_attended, registration=registration)
    act(holding.reopen, workshop=workshop, reason="The second sheet turned up.")
    came = act(registering.mark_attended, registration=registration)

    assert came.state == "attended"


def test_opening_again_wants_a_reason_and_keeps_it_in_the_trail(act):
    workshop = make_workshop(state="closed")

    with pytest.raises(ValidationError, match="Say why the workshop is opened again"):
        act(holding.reopen, workshop=workshop, reason=" ")
    opened = act(holding.reopen, workshop=workshop, reason="The second sheet turned up.")

    assert (opened.state, opened.state_reason) == ("held", "The second sheet turned up.")
    assert AuditEntry.objects.filter(reason="The second sheet turned up.").exists()


def test_cancelling_wants_a_reason(act):
    workshop = make_workshop()

    with pytest.raises(ValidationError, match="Say why the workshop was cancelled"):
        act(holding.cancel, workshop=workshop, reason="")

    assert act(holding.cancel, workshop=workshop, reason="Storm.").state == "cancelled"


def test_a_workshop_that_people_came_to_cannot_be_cancelled(act):
    workshop = make_workshop(state="held")
    make_registration(workshop=workshop, state="walk_in")

    with pytest.raises(ValidationError, match="People came to this workshop"):
        act(holding.cancel, workshop=workshop, reason="Storm.")


def test_a_cancelled_workshop_is_planned_again_when_opened(act):
    workshop = make_workshop(state="cancelled", state_reason="Storm.")

    assert act(holding.reopen, workshop=workshop, reason="The hall is dry.").state == "planned"


def test_a_workshop_is_not_held_before_its_day(act):
    workshop = make_workshop(held_on=datetime.date(2025, 5, 10))

    with pytest.raises(ValidationError, match="nobody can have come yet"):
        act(holding.mark_held, workshop=workshop)


def test_the_headcount_of_people_on_no_list_is_kept_apart(act):
    workshop = make_workshop(state="held")

    counted = act(holding.count_unlisted, workshop=workshop, people=7)

    assert counted.headcount_unlisted == 7
    assert not Registration.objects.at(workshop).exists()
