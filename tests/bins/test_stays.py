"""Stays follow from handouts, returns and moves; what differs is found and made anew."""

import datetime

import pytest
from django.core.management import call_command

from outreach.bins import stays
from outreach.bins.models import Stay
from outreach.bins.models.handouts import NO_END_DAY
from tests.factories.bins import make_bin_model, make_handout, make_stay
from tests.factories.households import make_household

pytestmark = pytest.mark.django_db

DAY = datetime.date(2025, 5, 9)


def days(count):
    return DAY + datetime.timedelta(days=count)


def spans(household):
    rows = Stay.objects.filter(counted_under=household).order_by("from_day")
    return list(rows.values_list("from_day", "until_day", "family"))


def test_two_bins_in_use_at_once_are_one_stay_of_the_family_it_began_with():
    household = make_household()
    make_handout(household=household, returned_on=days(30), bin_model=make_bin_model(family="mesh"))
    second = make_bin_model(family="tumbler")
    make_handout(household=household, handed_on=days(10), is_subsidised=False, slot=None, bin_model=second)

    stays.rebuild([household])

    assert spans(household) == [(DAY.toordinal(), NO_END_DAY, "mesh")]


def test_a_gap_without_a_bin_parts_two_stays():
    household = make_household()
    make_handout(household=household, returned_on=days(5))
    make_handout(household=household, handed_on=days(9), is_subsidised=False, slot=None)

    stays.rebuild([household])

    assert [span[:2] for span in spans(household)] == [
        (DAY.toordinal(), days(5).toordinal()),
        (days(9).toordinal(), NO_END_DAY),
    ]


def test_a_bin_brought_back_on_its_day_was_never_in_use():
    household = make_household()
    make_handout(household=household, returned_on=DAY)

    stays.rebuild([household])

    assert spans(household) == []


def test_an_end_that_a_person_saw_outlives_the_rebuilding():
    household = make_household()
    make_handout(household=household)
    make_stay(household=household, until_day=days(60).toordinal(), ended_because="removed")

    stays.rebuild([household])

    assert [span[:2] for span in spans(household)] == [(DAY.toordinal(), days(60).toordinal())]


def test_a_stay_that_is_right_is_left_untouched():
    household = make_household()
    make_handout(household=household)
    stay = make_stay(household=household)

    stays.rebuild([household])

    assert Stay.objects.get().pk == stay.pk


def test_check_records_finds_a_missing_stay_and_mends_it(capsys):
    household = make_household()
    make_handout(household=household)

    call_command("check_records", "--mend")

    assert f"household {household.pk}: its stays differ" in capsys.readouterr().out
    assert spans(household) == [(DAY.toordinal(), NO_END_DAY, "mesh")]
