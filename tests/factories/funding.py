"""Funding sources, their lines, costs and hours, valid by default."""

import datetime
import itertools

from outreach.funding.models import (
    BudgetLine,
    Cost,
    CostShare,
    FundingSource,
    GrantPeriod,
    HourRate,
    Hours,
    HoursShare,
)
from tests.factories.staff import make_member

_number = itertools.count(1)
UTC = datetime.UTC
DAY = datetime.date(2025, 5, 9)
AT = datetime.datetime(2025, 5, 10, 18, tzinfo=UTC)


def make_funding_source(**differences) -> FundingSource:
    fields = {"name": f"Organics grant {next(_number)}", "starts_on": datetime.date(2024, 1, 1)}
    return FundingSource.objects.create(**(fields | differences))


def make_grant_period(**differences) -> GrantPeriod:
    """The first year of a source that pays from the beginning of 2024."""
    fields = {
        "first_day_on": datetime.date(2024, 2, 15),
        "last_day_on": datetime.date(2025, 2, 14),
        "report_due_on": datetime.date(2025, 4, 15),
    } | differences
    fields["source"] = fields.get("source") or make_funding_source()
    return GrantPeriod.objects.create(**fields)


def make_line(**differences) -> BudgetLine:
    fields = {"kind": "printing", "amount_cents": 100_000} | differences
    fields["source"] = fields.get("source") or make_funding_source()
    return BudgetLine.objects.create(**fields)


def make_cost(*shares: tuple[BudgetLine, int], **differences) -> Cost:
    """A cost shared among these lines; by default one line pays all of it."""
    fields = {"spent_on": DAY, "what_for": "Flyers", "entered_at": AT}
    fields["amount_cents"] = sum(cents for _line, cents in shares) or 5000
    fields |= differences
    fields["entered_by"] = fields.get("entered_by") or make_member()
    cost = Cost.objects.create(**fields)
    for line, cents in shares or [(make_line(), cost.amount_cents)]:
        CostShare.objects.create(cost=cost, budget_line=line, cents=cents)
    return cost


def make_hour_rate(**differences) -> HourRate:
    fields = {
        "cents_per_hour": 3000,
        "in_force_from_on": datetime.date(2024, 1, 1),
        "source": "An invented table of wages",
        "looked_up_on": datetime.date(2024, 1, 15),
        "entered_at": AT,
    } | differences
    fields["entered_by"] = fields.get("entered_by") or make_member()
    return HourRate.objects.create(**fields)


def make_hours(*shares: tuple[FundingSource, int], **differences) -> Hours:
    """Unpaid hours, shared among these sources; by default match for none."""
    fields = {"given_on": DAY, "minutes": 180, "entered_at": AT} | differences
    fields["rate"] = fields.get("rate") or HourRate.objects.first() or make_hour_rate()
    fields["entered_by"] = fields.get("entered_by") or make_member()
    hours = Hours.objects.create(**fields)
    for source, minutes in shares:
        HoursShare.objects.create(hours=hours, source=source, minutes=minutes)
    return hours
