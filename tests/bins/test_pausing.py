"""What is known from outside the waves ends or interrupts a stay, and the sums of a filing hear of it."""

import datetime

import pytest
from django.core.exceptions import ValidationError

from diversion.inputs import Quarter
from outreach.bins import pausing, stays
from outreach.bins.models import Pause, Stay
from outreach.bins.models.handouts import NO_END_DAY
from outreach.bins.pausing import Act
from outreach.filings import gathering
from outreach.filings.gathering import Scope
from outreach.households import merging
from tests.factories.bins import make_handout
from tests.factories.households import make_household
from tests.factories.staff import make_member

pytestmark = [pytest.mark.django_db, pytest.mark.postgres]

DAY = datetime.date(2025, 1, 10)
NOW = datetime.datetime(2025, 9, 1, 18, tzinfo=datetime.UTC)
SECOND_QUARTER_DAYS = 91  # April, May and June


def days(count):
    return DAY + datetime.timedelta(days=count)


def with_a_bin(**differences):
    household = make_household()
    make_handout(household=household, handed_on=DAY, **differences)
    stays.rebuild([household])
    return household


def act():
    return Act(by=make_member(), at=NOW)


def paused(household, from_on, until_on=None):
    return pausing.pause(
        household=household, from_on=from_on, until_on=until_on, known_from="authority", act=act()
    )


def spans(household):
    rows = Stay.objects.filter(counted_under=household).order_by("from_day")
    return [
        (a - DAY.toordinal(), b - DAY.toordinal() if b != NO_END_DAY else None, why)
        for a, b, why in rows.values_list("from_day", "until_day", "ended_because")
    ]


def exposed_days(household):
    scope = Scope(jurisdiction=household.jurisdiction)
    cells = gathering.gather_quarter(
        Quarter(year=2025, quarter=2), scope=scope, cut_off=datetime.date(2025, 8, 14)
    )
    return sum(cell.days for cell in cells.exposure)


def test_a_stop_ends_the_stay():
    household = with_a_bin()

    paused(household, days(100))

    assert spans(household) == [(0, 100, "stopped")]


def test_a_pause_parts_the_stay_in_two():
    household = with_a_bin()

    paused(household, days(100), days(130))

    assert spans(household) == [(0, 100, "paused"), (130, None, "")]


def test_pauses_that_overlap_are_one():
    household = with_a_bin(returned_on=days(200))

    paused(household, days(100), days(130))
    paused(household, days(120), days(150))

    assert spans(household) == [(0, 100, "paused"), (150, 200, "returned")]


def test_a_stop_from_the_first_day_leaves_no_stay():
    household = with_a_bin()

    paused(household, DAY)

    assert spans(household) == []


def test_the_figures_count_fewer_days():
    household = with_a_bin()
    all_of_it = exposed_days(household)

    made = paused(household, datetime.date(2025, 5, 1))
    until_may = exposed_days(household)
    pausing.withdraw(pause=made, act=act())

    assert (all_of_it, until_may) == (SECOND_QUARTER_DAYS, 30)
    assert exposed_days(household) == SECOND_QUARTER_DAYS


def test_use_that_begins_again_counts_from_two_weeks_on_like_any_other():
    household = with_a_bin()

    made = paused(household, datetime.date(2025, 4, 11))
    pausing.resume(pause=made, on=datetime.date(2025, 5, 1))

    assert exposed_days(household) == 10 + (31 - 14) + 30


def test_a_household_without_a_bin_has_no_use_to_end():
    with pytest.raises(ValidationError, match="no use to end"):
        paused(make_household(), DAY)


def test_a_pause_that_ends_before_it_began_is_refused():
    with pytest.raises(ValidationError, match="at least a day after"):
        paused(with_a_bin(), days(10), days(10))

    assert not Pause.objects.exists()


def test_a_withdrawn_pause_cannot_end():
    household = with_a_bin()
    made = paused(household, days(10))
    pausing.withdraw(pause=made, act=act())

    with pytest.raises(ValidationError, match="was withdrawn"):
        pausing.resume(pause=made, on=days(20))
    assert spans(household) == [(0, None, "")]


def test_a_withdrawal_names_who_withdrew_it():
    made = paused(with_a_bin(), days(10))
    made.withdrawn_at = NOW

    with pytest.raises(ValidationError, match="who withdrew"):
        made.full_clean()


def test_a_pause_follows_its_household_into_a_merge_and_back():
    kept, absorbed = with_a_bin(), with_a_bin()
    paused(absorbed, days(50))
    merged = merging.merge(kept=kept, absorbed=absorbed, by=make_member(), at=NOW, reason="The same people")

    assert spans(kept) == [(0, 50, "stopped")]

    merging.unmerge(record=merged, by=make_member(), at=NOW)

    assert spans(kept) == [(0, None, "")]
    assert spans(absorbed) == [(0, 50, "stopped")]
