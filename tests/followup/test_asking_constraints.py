"""Every rule of waves that ask and of invitations that the database holds, broken, with its sentence."""

import datetime

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction

from outreach.followup.models import FollowUpCall, Invitation
from tests.factories.followup import make_invitation, make_wave
from tests.factories.households import make_household

pytestmark = [pytest.mark.django_db, pytest.mark.postgres]
AT = datetime.datetime(2025, 11, 9, 18, tzinfo=datetime.UTC)

OF_INVITATIONS = [
    ({"closes_on": datetime.date(2025, 11, 8)}, "is not before the day of asking"),
    ({"last_asked_at": AT - datetime.timedelta(hours=1)}, "reminded only after it was asked"),
    ({"settled_at": AT}, "Say when and why"),
    ({"settled_because": "answered"}, "Say when and why"),
]
OF_WAVES = [
    ({"days_open": 6}, "for 7 to 180 days"),
    ({"days_open": 181}, "for 7 to 180 days"),
    ({"reminders": 6}, "at most 5 times"),
    ({"days_between": 2}, "Leave 3 to 60 days"),
    ({"days_between": 61}, "Leave 3 to 60 days"),
]


def refused(row, differences, sentence):
    for name, value in differences.items():
        setattr(row, name, value)
    with pytest.raises(ValidationError, match=sentence):
        row.full_clean()
    with pytest.raises(IntegrityError), transaction.atomic():
        row.save()


@pytest.mark.parametrize(("differences", "sentence"), OF_INVITATIONS)
def test_a_broken_invitation_is_refused_by_form_and_database(differences, sentence):
    refused(make_invitation(opened_at=AT), differences, sentence)


@pytest.mark.parametrize(("differences", "sentence"), OF_WAVES)
def test_a_broken_wave_is_refused_by_form_and_database(differences, sentence):
    refused(make_wave(), differences, sentence)


def test_a_household_is_asked_once_a_wave():
    first = make_invitation(opened_at=AT)
    second = Invitation(
        household=first.household,
        counted_under=first.household,
        wave=first.wave,
        opened_on=AT.date(),
        opened_at=AT,
        last_asked_at=AT,
        closes_on=AT.date(),
        channel="call",
    )

    with pytest.raises(ValidationError, match="asked in this wave already"):
        second.full_clean()
    with pytest.raises(IntegrityError), transaction.atomic():
        second.save()


def test_a_postcard_before_asking_is_refused():
    refused(
        make_invitation(opened_at=AT), {"postcard_on": datetime.date(2025, 11, 8)}, "only after the household"
    )


def test_one_call_is_on_record_once(coordinator):
    call = FollowUpCall.objects.create(
        household=(home := make_household()),
        counted_under=home,
        reply="no_reply",
        called_at=AT,
        called_by=coordinator,
    )
    call.pk = None

    with pytest.raises(ValidationError, match="on record already"):
        call.full_clean()
    with pytest.raises(IntegrityError), transaction.atomic():
        call.save(force_insert=True)
