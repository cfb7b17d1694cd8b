"""Costs and hours: recorded to the last cent and minute, corrected in the trail, voided and not deleted."""

import datetime

import pytest
from django.core.exceptions import ValidationError

from outreach.funding import budgeting, giving, spending
from outreach.funding.models import BudgetLine, Cost, CostShare, Hours
from outreach.staff import audit
from tests.factories.funding import (
    AT,
    DAY,
    make_cost,
    make_funding_source,
    make_hour_rate,
    make_hours,
    make_line,
)
from tests.factories.places import make_district, make_jurisdiction
from tests.factories.staff import make_member
from tests.factories.workshops import make_workshop

pytestmark = [pytest.mark.django_db, pytest.mark.postgres]


def spend(shares, **differences):
    facts = {"spent_on": DAY, "what_for": "Flyers", "amount_cents": 5000} | differences
    return spending.record_cost(cost=Cost(**facts), shares=shares, by=make_member(), at=AT)


def give(shares, **differences):
    facts = {"given_on": DAY, "minutes": 180} | differences
    return giving.record_hours(hours=Hours(**facts), shares=shares, by=make_member(), at=AT)


def shares_of(cost):
    return {share.budget_line: share.cents for share in CostShare.objects.filter(cost=cost)}


def test_a_cost_is_shared_to_the_last_cent():
    first, second = make_line(), make_line()

    cost = spend({first: 1667, second: 3333})

    assert shares_of(cost) == {first: 1667, second: 3333}


@pytest.mark.parametrize("cents", [4999, 5001])
def test_shares_that_do_not_add_up_write_nothing(cents):
    with pytest.raises(ValidationError, match="The whole is"):
        spend({make_line(): cents})

    assert not Cost.objects.exists()


def test_a_cost_that_nobody_pays_is_refused():
    with pytest.raises(ValidationError, match="fall short"):
        spend({})


@pytest.mark.parametrize("day", [datetime.date(2023, 12, 31), datetime.date(2025, 3, 1)])
def test_a_source_pays_within_its_days_only(day):
    source = make_funding_source(ends_on=datetime.date(2025, 2, 28), name="Spring grant")

    with pytest.raises(ValidationError, match="Spring grant pays from 1 January 2024 to 28 February 2025"):
        spend({make_line(source=source): 5000}, spent_on=day)


def test_a_source_pays_for_workshops_where_it_may_serve():
    here, there = make_jurisdiction(name="Larkmoor"), make_jurisdiction(name="Port Tansy")
    source = make_funding_source()
    source.may_serve.add(here)
    workshop = make_workshop(jurisdiction=there)

    with pytest.raises(ValidationError, match="Larkmoor only; the workshop was held in Port Tansy"):
        spend({make_line(source=source): 5000}, workshop=workshop)


def test_a_district_that_is_served_lets_its_jurisdiction_hold_workshops():
    district = make_district()
    source = make_funding_source()
    source.may_serve_districts.add(district)

    assert source.may_pay_in(district.jurisdiction_id)
    assert source.may_pay_in(district.jurisdiction_id, district.pk)
    assert not source.may_pay_in(district.jurisdiction_id, make_district().pk)
    assert not source.may_pay_in(make_jurisdiction().pk)


def test_a_day_to_come_has_no_costs():
    with pytest.raises(ValidationError, match="still to come"):
        spend({make_line(): 5000}, spent_on=AT.date() + datetime.timedelta(days=1))


@pytest.mark.parametrize(
    ("amount", "cents"), [(8000, (7000, 1000)), (3000, (500, 2500)), (5000, (4000, 1000))]
)
def test_a_corrected_cost_has_new_shares_and_says_why(amount, cents):
    first, second, third = make_line(), make_line(), make_line()
    cost = make_cost((first, 3000), (second, 2000))
    cost.amount_cents = amount

    spending.correct_cost(cost=cost, shares={first: cents[0], third: cents[1]}, reason="A wrong sum", at=AT)

    assert shares_of(cost) == {first: cents[0], third: cents[1]}
    new = CostShare.objects.get(cost=cost, budget_line=third)
    assert [entry.why for entry in audit.entries_of(new)] == ["A wrong sum"]


def test_a_voided_cost_stays_and_is_not_voided_again_or_corrected():
    cost = make_cost()
    spending.void_cost(cost=cost, reason="Entered twice", by=make_member(), at=AT)

    with pytest.raises(ValidationError, match="was voided"):
        spending.void_cost(cost=cost, reason="Again", by=make_member(), at=AT)
    with pytest.raises(ValidationError, match="was voided"):
        spending.correct_cost(cost=cost, shares=shares_of(cost), reason="Late", at=AT)
    assert Cost.objects.voided().get().void_reason == "Entered twice"
    assert not Cost.objects.standing().exists()


def test_a_void_without_a_reason_is_refused():
    with pytest.raises(ValidationError, match="and why"):
        spending.void_cost(cost=make_cost(), reason="  ", by=make_member(), at=AT)


def test_hours_are_worth_the_rate_of_their_day():
    make_hour_rate(cents_per_hour=3000, in_force_from_on=datetime.date(2024, 1, 1))
    newer = make_hour_rate(cents_per_hour=3349, in_force_from_on=datetime.date(2025, 5, 1))
    make_hour_rate(cents_per_hour=9999, in_force_from_on=datetime.date(2025, 5, 10))

    assert give({}).rate == newer


def test_hours_before_any_rate_are_refused():
    make_hour_rate(in_force_from_on=datetime.date(2025, 6, 1))

    with pytest.raises(ValidationError, match="No rate holds on 9 May 2025"):
        give({})


def test_hours_are_match_to_the_last_minute_or_for_nobody():
    make_hour_rate()
    first, second = make_funding_source(), make_funding_source()

    shared, of_nobody = give({first: 100, second: 80}), give({})

    assert sorted(share.minutes for share in shared.shares.all()) == [80, 100]
    assert not of_nobody.shares.exists()
    with pytest.raises(ValidationError, match=r"fall short by 1:00 h"):
        give({first: 120})


def test_corrected_and_voided_hours():
    source = make_funding_source()
    hours = make_hours((source, 180))
    hours.minutes = 120

    giving.correct_hours(hours=hours, shares={source: 120}, reason="Left early", at=AT)
    giving.void_hours(hours=hours, reason="Paid after all", by=make_member(), at=AT)

    assert hours.shares.get().minutes == 120
    assert Hours.objects.voided().get().minutes == 120


def test_a_budget_stays_within_its_source():
    source = make_funding_source(amount_cents=100_000)
    make_line(source=source, kind="bins", amount_cents=70_000)

    budgeting.write_line(line=BudgetLine(source=source, kind="venue", amount_cents=30_000))
    with pytest.raises(ValidationError, match=r"\$0\.01 more than the \$1,000\.00"):
        budgeting.write_line(line=BudgetLine(source=source, kind="staff", amount_cents=1))
