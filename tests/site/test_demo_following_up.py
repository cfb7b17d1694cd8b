"""The demo's follow-up, on a small set of households: something of everything is there to look at."""

import datetime

import pytest
from django.urls import reverse
from django.utils import timezone

from outreach.followup import postcards, waves
from outreach.followup.models import Answer, FollowUpCall, Invitation
from outreach.households import retention
from outreach.households.forgotten_models import ForgettingHold
from outreach.households.models import Participant
from outreach.post.models import Message
from outreach.site.demo import following_up
from outreach.staff.models import StaffMember
from outreach.staff.roles import Role
from tests.factories.bins import make_handout
from tests.factories.households import make_household, make_participant
from tests.factories.staff import make_member

pytestmark = pytest.mark.django_db


@pytest.fixture
def asked(settings, tmp_path):
    """Forty with a bin since four months, three in four with an e-mail address."""
    settings.VAR = tmp_path
    at = timezone.now()
    handed_on = timezone.localdate(at) - datetime.timedelta(days=125)
    for number in range(40):
        home = make_household(zip_code="00071", city_name="Larkmoor")
        reach = {"email": f"somebody{number}@example.org"} if number % 4 else {"phone": f"555-01{number:02}"}
        make_participant(household=home, **reach)
        make_handout(household=home, handed_on=handed_on)
    following_up.ask(by=make_member(), at=at)
    following_up.keep_for_so_long(by=make_member(role=Role.ADMINISTRATOR), at=at)
    return at


def test_some_have_answered_by_link_early_and_late_and_others_are_due(asked):
    on = timezone.localdate(asked)
    answers = Answer.objects.current().filter(channel="link")

    assert set(answers.values_list("reminders", flat=True)) == {0, 1, 2}
    assert Invitation.objects.due(on).count() > 10
    assert Answer.objects.exclude(harvested="").exists()
    assert not Answer.objects.filter(entered_at__gt=asked).exists()


def test_postcards_calls_and_reminders_are_there_to_look_at(asked):
    on = timezone.localdate(asked)
    due = [card for wave in waves.open_waves() for card in postcards.due(wave, on=on, languages=("en", "es"))]

    assert len(due) > 5
    assert Message.objects.in_group("invitation:").calls().due(asked).exists()
    assert Message.objects.filter(kind="followup.reminder", state=Message.State.SENT).exists()
    assert set(FollowUpCall.objects.values_list("reply", flat=True)) == {"no_reply", "not_to_call"}


def test_how_long_contact_is_kept_is_set_and_one_household_held(asked, as_coordinator):
    assert (retention.schedule().months_after_use, ForgettingHold.objects.count()) == (36, 1)
    assert "36 months" in as_coordinator.get(reverse("retention")).content.decode()
    assert Participant.objects.still_named().count() == 40
    assert StaffMember.objects.filter(role=Role.ADMINISTRATOR).exists()
