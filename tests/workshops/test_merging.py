"""Registrations follow a merge of households and go back when it is undone."""

import datetime

import pytest

from outreach.households import merging
from outreach.workshops.models import Registration
from tests.factories.households import make_household, make_participant
from tests.factories.workshops import make_registration

pytestmark = [pytest.mark.django_db, pytest.mark.postgres]
AT = datetime.datetime(2025, 6, 1, tzinfo=datetime.UTC)


def test_merging_counts_registrations_under_the_kept_and_undoing_sets_them_back(coordinator):
    kept, absorbed = make_household(), make_household()
    make_registration(participant=make_participant(household=kept))
    moved = make_registration(participant=make_participant(household=absorbed))
    before = list(Registration.objects.order_by("pk").values())

    record = merging.merge(kept=kept, absorbed=absorbed, by=coordinator, at=AT, reason="One home")
    moved.refresh_from_db()
    merged = (moved.household, moved.counted_under)
    merging.unmerge(record=record, by=coordinator, at=AT)

    assert merged == (absorbed, kept)
    assert list(Registration.objects.order_by("pk").values()) == before


def test_what_was_booked_while_merged_goes_back_with_its_household(coordinator):
    kept, absorbed = make_household(), make_household()
    record = merging.merge(kept=kept, absorbed=absorbed, by=coordinator, at=AT, reason="One home")
    between = make_registration(participant=make_participant(household=absorbed), counted_under=kept)

    merging.unmerge(record=record, by=coordinator, at=AT)

    between.refresh_from_db()
    assert between.counted_under == absorbed
