"""Each rule of the funding tables, broken through the ORM, answers with its sentence."""

import datetime

import pytest
from django.apps import apps
from django.core.exceptions import ValidationError
from django.db import DatabaseError, IntegrityError, connection, transaction

from outreach.funding import shares_guard
from outreach.funding.models import BudgetLine, CostShare, HourRate, HoursShare
from tests.factories.funding import (
    AT,
    make_cost,
    make_funding_source,
    make_hour_rate,
    make_hours,
    make_line,
)
from tests.factories.staff import make_member

pytestmark = [pytest.mark.django_db, pytest.mark.postgres]


def broken(record, sentence):
    """Both the check before saving and the database itself refuse the record."""
    with pytest.raises(ValidationError, match=sentence):
        record.validate_constraints()
    with pytest.raises(IntegrityError), transaction.atomic():
        record.save()


def changed(record, **differences):
    for name, value in differences.items():
        setattr(record, name, value)
    return record


@pytest.mark.parametrize("month", [0, 13])
def test_a_fiscal_year_starts_in_a_month(month):
    broken(changed(make_funding_source(), fiscal_year_starts_month=month), "month from 1 to 12")


def test_only_a_clock_of_its_own_has_a_day():
    source = changed(make_funding_source(), own_year_starts_on=datetime.date(2025, 4, 1))

    broken(source, "years of its own")
    changed(source, clock="own").save()


def test_a_line_stands_once_in_a_budget():
    line = make_line()

    broken(BudgetLine(source=line.source, kind=line.kind, amount_cents=1), "already has such a line")


def test_bins_have_one_line():
    line = make_line(kind="bins")

    broken(BudgetLine(source=line.source, kind="bins", name="tumblers", amount_cents=1), "one line for bins")


def test_a_cost_is_of_something():
    broken(changed(make_cost(), amount_cents=0), "at least one cent")


@pytest.mark.parametrize("make", [make_cost, make_hours])
def test_what_is_voided_says_who_and_why(make):
    broken(changed(make(), voided_at=AT, void_reason="Entered twice"), "who voided")
    broken(changed(make(), voided_at=AT, voided_by=make_member()), "and why")


def test_a_line_pays_one_share_of_a_cost():
    line = make_line()
    cost = make_cost((line, 3000), (make_line(), 2000))

    broken(CostShare(cost=cost, budget_line=line, cents=1), "each budget line once")


def test_a_share_of_a_cost_is_of_something():
    broken(changed(make_cost().shares.get(), cents=0), "at least one cent")


def test_an_hour_is_worth_something():
    broken(HourRate(cents_per_hour=0, source="Table"), "at least one cent")


def test_a_rate_says_where_it_is_published():
    broken(HourRate(cents_per_hour=3000, source=""), "where the rate is published")


def test_a_rate_is_never_changed():
    rate = changed(make_hour_rate(), cents_per_hour=9000)

    with pytest.raises(DatabaseError, match="never changed or removed"), transaction.atomic():
        rate.save()


@pytest.mark.parametrize("minutes", [0, 24 * 60 + 1])
def test_a_person_gives_at_most_a_day_on_a_day(minutes):
    broken(changed(make_hours(), minutes=minutes), "from a minute to 24 hours")


def test_hours_match_a_source_once():
    source = make_funding_source()
    hours = make_hours((source, 60), (make_funding_source(), 60))

    broken(HoursShare(hours=hours, source=source, minutes=1), "each funding source once")


def test_a_share_of_hours_is_of_something():
    broken(HoursShare(hours=make_hours(), source=make_funding_source(), minutes=0), "at least one minute")


def test_no_cost_is_paid_for_twice():
    cost = make_cost()

    with pytest.raises(IntegrityError, match="more than the cost"), transaction.atomic():
        CostShare.objects.create(cost=cost, budget_line=make_line(), cents=1)


def test_a_share_cannot_grow_beyond_its_cost():
    share = make_cost().shares.get()

    with pytest.raises(IntegrityError, match="more than the cost"), transaction.atomic():
        CostShare.objects.filter(pk=share.pk).update(cents=share.cents + 1)


def test_a_cost_cannot_shrink_below_its_shares():
    cost = changed(make_cost(), amount_cents=4999)

    with pytest.raises(IntegrityError, match="more than the cost"), transaction.atomic():
        cost.save()


def test_no_hour_is_match_twice():
    hours = make_hours((make_funding_source(), 180))

    with pytest.raises(IntegrityError, match="more than the hours"), transaction.atomic():
        HoursShare.objects.create(hours=hours, source=make_funding_source(), minutes=1)


def test_shares_are_still_guarded_after_a_migration_that_drops_its_triggers():
    cost, line = make_cost(), make_line()
    on_table = " ON funding_costshare" if connection.vendor == "postgresql" else ""
    with connection.cursor() as cursor:
        cursor.execute(f"DROP TRIGGER funding_costshare_within{on_table}")
    CostShare.objects.create(cost=cost, budget_line=line, cents=1).delete()

    shares_guard.make_triggers(sender=apps.get_app_config("funding"))

    with pytest.raises(IntegrityError, match="more than the cost"), transaction.atomic():
        CostShare.objects.create(cost=cost, budget_line=make_line(), cents=1)


def test_shares_that_fall_short_are_found():
    cost = make_cost((make_line(), 3000), amount_cents=5000)
    make_hours()  # match for nobody, which may be
    hours = make_hours((make_funding_source(), 100), minutes=180)

    assert shares_guard.shares_that_differ() == [
        f"funding.Cost {cost.pk}: 5000, its shares add up to 3000",
        f"funding.Hours {hours.pk}: 180, its shares add up to 100",
    ]


@pytest.mark.parametrize(
    "table", ["funding_costshare", "funding_hoursshare", "funding_cost", "funding_hours"]
)
def test_the_system_check_misses_a_trigger_of_shares_that_is_gone(db, table):
    end = "not_below" if table in ("funding_cost", "funding_hours") else "within"
    on = f" ON {table}" if connection.vendor == "postgresql" else ""
    assert shares_guard.look(databases=["default"]) == []

    with connection.cursor() as cursor:
        cursor.execute(f"DROP TRIGGER {table}_{end}{on}")
    (found,) = shares_guard.look(databases=["default"])

    assert found.id == "funding.E001"
    assert f"{table}_{end}" in found.msg

    shares_guard.make_triggers(sender=apps.get_app_config("funding"))
    assert shares_guard.look(databases=["default"]) == []
