"""A household that was asked today, and its link."""

import datetime

import pytest
from django.utils import timezone

from outreach.followup import invitation_links
from tests.factories.bins import make_handout
from tests.factories.followup import make_invitation, make_wave
from tests.factories.households import make_household, make_participant
from tests.followup.by_link import path_of


@pytest.fixture
def today():
    return timezone.localdate()


@pytest.fixture
def invitation(today):
    """Asked today in the wave of three months; Ada's household, on Reed Street."""
    home = make_household(street="5 Reed Street")
    make_participant(household=home, full_name="Ada Holm", email="ada@example.org")
    make_handout(household=home, handed_on=today - datetime.timedelta(days=100))
    return make_invitation(
        household=home,
        wave=make_wave(months_after=3),
        opened_at=timezone.now(),
        opened_on=today,
        reminders_sent=1,
    )


@pytest.fixture
def link(invitation):
    return path_of(invitation_links.mailed(invitation))
