"""What was spent, what is left, what the hours are worth. Expectations are added up by hand."""

import datetime

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from outreach.funding import figures
from outreach.funding.models import FundingSource
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
JANUARY, MAY = datetime.date(2025, 1, 15), datetime.date(2025, 5, 9)
FIRST, LAST = datetime.date(2025, 4, 1), datetime.date(2025, 6, 30)


@pytest.fixture
def bins_cost(monkeypatch):
    """Bins for $400 in all, $150 of them in the period, on every source that is named."""
    charged = {}

    def charges(first_day, last_day):
        return dict.fromkeys(charged, 15_000 if first_day else 40_000)

    monkeypatch.setattr(figures, "_bin_charges", [charges])
    return charged


def test_budget_against_spent(bins_cost):
    source = make_funding_source(amount_cents=200_000)
    printing = make_line(source=source, kind="printing", amount_cents=50_000)
    bins = make_line(source=source, kind="bins", amount_cents=100_000)
    other = make_line()
    make_cost((printing, 3000), (other, 2000), spent_on=JANUARY)
    make_cost((printing, 1000), spent_on=MAY)
    make_cost((bins, 500), spent_on=MAY, what_for="Delivery")
    make_cost((printing, 9000), spent_on=MAY, voided_at=AT, voided_by=make_member(), void_reason="Twice")
    make_cost((printing, 7000), spent_on=LAST + datetime.timedelta(days=1))
    bins_cost[source.pk] = True

    money = figures.money_of(source, FIRST, LAST)

    by_kind = {one.line.kind: one for one in money.lines}
    assert (by_kind["printing"].spent_cents, by_kind["printing"].spent_until_cents) == (1000, 4000)
    assert by_kind["printing"].left_cents == 46_000
    assert (by_kind["bins"].spent_cents, by_kind["bins"].spent_until_cents) == (15_500, 40_500)
    assert (money.spent_cents, money.spent_until_cents, money.left_cents) == (16_500, 44_500, 155_500)
    assert money.bins_beyond_until_cents == 0


def test_bins_of_a_source_without_a_line_for_them_are_not_lost(bins_cost):
    source = make_funding_source(amount_cents=30_000)
    bins_cost[source.pk] = True

    money = figures.money_of(source, None, LAST)

    assert (money.bins_beyond_until_cents, money.left_cents) == (40_000, -10_000)


def test_no_cost_is_counted_twice_over_all_sources():
    """Shares of two sources add up to what was spent, and to no more."""
    lines = [make_line() for _ in range(3)]
    amounts = [(333, 333, 334), (1, 998, 1), (5000, 1, 1)]
    for cents in amounts:
        make_cost(*zip(lines, cents, strict=True), spent_on=MAY)

    moneys = figures.money_of_all(FundingSource.objects.all(), FIRST, LAST)

    assert sum(money.spent_cents for money in moneys) == sum(map(sum, amounts))


def test_match_is_minutes_at_their_rates_rounded_once():
    """100 min at $33.49 and 50 min at $30.01: (334,900 + 150,050) / 60 = 8,082.5 cents, half up."""
    source = make_funding_source(match_required_cents=10_000)
    low, high = make_hour_rate(cents_per_hour=3001), make_hour_rate(cents_per_hour=3349)
    make_hours((source, 40), (make_funding_source(), 20), minutes=60, rate=high, given_on=MAY)
    make_hours((source, 60), minutes=60, rate=high, given_on=MAY)
    make_hours((source, 50), minutes=50, rate=low, given_on=MAY)
    make_hours((source, 60), minutes=60, rate=low, given_on=JANUARY)
    make_hours(minutes=600, rate=high, given_on=MAY)

    money = figures.money_of(source, FIRST, LAST)

    assert (money.match_minutes, money.match_cents) == (150, 8083)
    assert money.match_until_cents == 8083 + 3001
    assert money.match_missing_cents == 0


def test_more_sources_take_no_more_queries():
    def queries():
        with CaptureQueriesContext(
            connection,
        ) as seen:
            figures.money_of_all(FundingSource.objects.all(), FIRST, LAST)
        return len(seen)

    make_cost((make_line(), 100))
    few = queries()
    for _ in range(5):
        make_cost((make_line(), 100))

    assert queries() == few
