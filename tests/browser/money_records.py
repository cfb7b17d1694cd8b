"""A funding source with a line, a cost and hours on record, and where the page of each is."""

from collections.abc import Iterator
from typing import Any

from outreach.funding import budgeting, giving, spending
from outreach.funding.models import BudgetLine, Cost, FundingSource, HourRate, Hours
from tests.factories.funding import make_grant_period


def make_money(season: Any, said_in_private: str) -> Iterator[tuple[str, dict[str, Any]]]:
    """One of each, the hours given by someone whom only the office may name."""
    who = {"by": season.by, "at": season.at}
    source = FundingSource.objects.create(
        name="Quillby organics grant",
        funder="Quillby Waste Authority",
        starts_on=season.ago(300),
        amount_cents=1_500_000,
        match_required_cents=200_000,
    )
    line = budgeting.write_line(line=BudgetLine(source=source, kind="printing", amount_cents=90_000))
    rate = HourRate(
        cents_per_hour=2850,
        in_force_from_on=season.ago(300),
        source="Wage of a parks aide, city pay table, step 1",
        looked_up_on=season.ago(299),
    )
    giving.add_rate(rate=rate, **who)
    cost = spending.record_cost(
        cost=Cost(
            spent_on=season.ago(20), amount_cents=12_345, what_for="Flyers, 1000", note=said_in_private
        ),
        shares={line: 12_345},
        **who,
    )
    hours = giving.record_hours(
        hours=Hours(given_on=season.ago(20), minutes=150, volunteer=said_in_private),
        shares={source: 150},
        **who,
    )
    yield "funding_source", {"pk": source.pk}
    for name in ("funding_budget", "budget_line_add", "grant_period_add"):
        yield name, {"source_id": source.pk}
    yield "budget_line", {"line_id": line.pk}
    yield "grant_period", {"period_id": make_grant_period(source=source).pk}
    for name in ("cost", "cost_edit", "cost_void"):
        yield name, {"cost_id": cost.pk}
    for name in ("hours_given", "hours_edit", "hours_void"):
        yield name, {"hours_id": hours.pk}
