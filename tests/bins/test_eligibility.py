"""Where a household stands under the rule of a day, in one sentence."""

import datetime

import pytest

from outreach.bins import recording_facts, ruling
from outreach.bins.eligibility import standing_of
from outreach.bins.models import RuleVersion
from outreach.bins.recording_facts import HandoutFact
from tests.factories.bins import make_bin_model, make_rule, make_stock_place
from tests.factories.households import make_household
from tests.factories.places import make_jurisdiction

pytestmark = pytest.mark.django_db

AT = datetime.datetime(2025, 6, 1, 18, tzinfo=datetime.UTC)


def day(text):
    return datetime.date.fromisoformat(text)


def give(household, on):
    instant = datetime.datetime.combine(day(on), datetime.time(18), datetime.UTC)
    facts = [
        HandoutFact(household=household, bin_model=make_bin_model(), handed_on=day(on), happened_at=instant)
    ]
    return recording_facts.record_facts(facts, from_place=make_stock_place(), by=None, at=AT)[0]


def may(household, on):
    return standing_of(household, day(on)).may_have_bin


def test_the_first_rule_is_one_bin_ever():
    household = make_household()
    assert may(household, "2025-05-09")

    give(household, "2025-05-09")
    standing = standing_of(household, day("2031-01-01"))

    assert not standing.may_have_bin
    assert standing.exception_kind == "second_bin"
    assert standing.sentence.startswith("The household had its bin on 9 May 2025. Since 1 January 2000")


@pytest.mark.parametrize(
    ("window", "again_on", "not_yet_on"),
    [
        ("calendar_year", "2026-01-01", "2025-12-31"),
        ("fiscal_year", "2025-07-01", "2025-06-30"),
    ],
)
def test_a_window_by_the_year_opens_again(window, again_on, not_yet_on):
    make_rule(window=window)
    household = make_household(jurisdiction=make_jurisdiction(fiscal_year_starts_month=7))
    give(household, "2025-05-09")

    assert not may(household, not_yet_on)
    assert may(household, again_on)


def test_a_window_since_a_day_forgets_what_was_before():
    make_rule(window="since", window_from_on=day("2025-01-01"))
    household = make_household()
    give(household, "2024-12-31")

    assert may(household, "2025-05-09")


def test_a_new_rule_may_leave_earlier_bins_out():
    household = make_household()
    give(household, "2024-05-09")
    make_rule(in_force_from_on=day("2025-01-01"), earlier_bins_count=False)

    assert not may(household, "2024-12-31")
    assert may(household, "2025-01-01")


def test_a_jurisdiction_may_have_a_rule_of_its_own():
    household, elsewhere = make_household(), make_household()
    make_rule(jurisdiction=household.jurisdiction, slots=2)
    give(household, "2025-05-09")
    give(elsewhere, "2025-05-09")

    assert may(household, "2025-06-01")
    assert not may(elsewhere, "2025-06-01")


def test_a_resident_of_elsewhere_may_not_unless_the_rule_says_so():
    household = make_household(jurisdiction=None)
    assert standing_of(household, day("2025-05-09")).exception_kind == "outside_area"

    make_rule(served_places_only=False)

    assert may(household, "2025-05-09")


def test_a_second_slot_is_numbered_in_the_order_of_the_days():
    make_rule(slots=2)
    household = make_household()
    late = give(household, "2025-05-09")
    early = give(household, "2025-03-09")

    late.refresh_from_db()
    assert (early.slot, late.slot, late.slots) == (1, 2, 2)


def test_a_rule_never_reaches_back_over_bins_already_handed_out():
    give(make_household(), "2025-05-09")

    with pytest.raises(Exception, match="1 bin was handed out since that day"):
        ruling.add_version(version=RuleVersion(in_force_from_on=day("2025-05-01"), slots=2))
    ruling.add_version(version=RuleVersion(in_force_from_on=day("2025-05-10"), slots=2))
