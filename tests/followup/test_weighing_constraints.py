"""Every rule of weigh-ins and site checks that the database holds, broken through the ORM, with its sentence."""

import datetime

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction
from django.utils import timezone

from outreach.bins.models import Pause
from tests.factories.followup import (
    make_site_check,
    make_site_check_list,
    make_weigh_in,
    make_weigh_in_season,
    make_weighed_week,
)
from tests.factories.households import make_household
from tests.factories.staff import make_member

pytestmark = [pytest.mark.django_db, pytest.mark.postgres]
DAY = datetime.date(2026, 3, 10)

BROKEN_SEASONS = [
    ({"weeks": 0}, "lasts from 1 to 60 weeks"),
    ({"weeks": 61}, "lasts from 1 to 60 weeks"),
    ({"seed": 7}, "Say when it was drawn"),
    ({"seed": 7, "drawn_at": timezone.now()}, "from how many households"),
    ({"seed": 1_000_000_000, "drawn_at": timezone.now(), "drawn_from": 3}, "A seed is a whole number"),
]
BROKEN_WEIGH_INS = [
    ({"reply": "declined"}, "A volunteer has agreed"),
    ({"draw_place": 1, "reply": "waiting", "scale_out_on": DAY}, "A scale goes to a household that agreed"),
    ({"scale_back_on": DAY}, "A scale comes back after it was handed out"),
    ({"scale_out_on": DAY, "scale_back_on": datetime.date(2026, 3, 9)}, "cannot come back before"),
]
BROKEN_WEEKS = [
    ({"week": 0}, "numbered from 1 to 60"),
    ({"week": 61}, "numbered from 1 to 60"),
    ({"reported_ml": 1_000_001}, "from 0 to 1000 litres"),
    ({"weighed_g": 300_001}, "from 0 to 300 kg"),
    ({"reviewed_at": timezone.now()}, "Say who looked"),
    ({"is_set_aside": True}, "Say why the week is set aside"),
    ({"why_set_aside": "wet"}, "Say why the week is set aside"),
]
BROKEN_LISTS = [
    ({"size": 0}, "from 1 to 1000 households"),
    ({"size": 1001, "drawn_from": 2000}, "from 1 to 1000 households"),
    ({"size": 31}, "not that many households"),
    ({"seed": 1_000_000_000}, "A seed is a whole number"),
]
BROKEN_CHECKS = [
    ({"outcome": "to_visit"}, "Say what was seen"),
    ({"checked_on": None}, "Say what was seen"),
    ({"seen_by": ""}, "Say what was seen"),
    ({"place": 4}, "has its place in the draw"),
]
CASES = [
    *((make_weigh_in_season, *one) for one in BROKEN_SEASONS),
    *((make_weigh_in, *one) for one in BROKEN_WEIGH_INS),
    *((make_weighed_week, *one) for one in BROKEN_WEEKS),
    *((make_site_check_list, *one) for one in BROKEN_LISTS),
    *((make_site_check, *one) for one in BROKEN_CHECKS),
]


@pytest.mark.parametrize(("make", "differences", "sentence"), CASES)
def test_a_broken_row_is_refused_by_form_and_database(make, differences, sentence):
    row = make()
    for name, value in differences.items():
        setattr(row, name, value)

    with pytest.raises(ValidationError, match=sentence):
        row.full_clean()
    with pytest.raises(IntegrityError), transaction.atomic():
        row.save()


@pytest.mark.parametrize("amount", ["reported_ml", "weighed_g"])
def test_no_amount_is_below_nothing(amount):
    row = make_weighed_week()
    setattr(row, amount, -1)

    with pytest.raises(ValidationError, match="Must be 0 or more"):
        row.full_clean()
    with pytest.raises(IntegrityError), transaction.atomic():
        row.save()


def test_a_household_is_on_a_season_once():
    first = make_weigh_in()

    with pytest.raises(IntegrityError), transaction.atomic():
        make_weigh_in(season=first.season, household=first.household)


def test_a_place_of_a_draw_is_one_households():
    first = make_weigh_in(draw_place=1)

    with pytest.raises(IntegrityError), transaction.atomic():
        make_weigh_in(season=first.season, draw_place=1)


def test_a_week_is_entered_once_for_each_material():
    first = make_weighed_week()
    make_weighed_week(weigh_in=first.weigh_in, material="yard")

    with pytest.raises(IntegrityError), transaction.atomic():
        make_weighed_week(weigh_in=first.weigh_in)


def test_a_household_is_on_a_list_once_and_checked_once_a_day_outside_any():
    home, listed = make_household(), make_site_check_list()
    make_site_check(household=home, list=listed, place=1)
    make_site_check(household=home)

    with pytest.raises(IntegrityError), transaction.atomic():
        make_site_check(household=home, list=listed, place=2)
    with pytest.raises(IntegrityError), transaction.atomic():
        make_site_check(household=home)


def test_only_a_bin_seen_not_in_use_ends_its_use():
    check = make_site_check()
    check.pause = Pause.objects.create(
        household=check.household,
        counted_under=check.household,
        from_on=DAY,
        known_from="visit",
        entered_at=timezone.now(),
        entered_by=make_member(),
    )

    with pytest.raises(ValidationError, match="Only a bin seen not in use"):
        check.full_clean()
    with pytest.raises(IntegrityError), transaction.atomic():
        check.save()
