"""Costs and hours as CSV, one line for each share; no cell of it starts a formula."""

from collections.abc import Iterable, Iterator, Sequence

from django.http import HttpResponse

from outreach.funding.models import Cost, CostQuerySet, Hours, HoursQuerySet
from outreach.staff.csv_tables import as_csv

Row = Sequence[object]
COSTS = (
    "cost",
    "spent_on",
    "what_for",
    "workshop",
    "paperwork",
    "amount_dollars",
    "funding_source",
    "grant_number",
    "budget_line",
    "share_dollars",
    "state",
)
HOURS = (
    "hours_entry",
    "given_on",
    "doing",
    "workshop",
    "paperwork",
    "minutes",
    "dollars_per_hour",
    "rate_source",
    "funding_source",
    "share_minutes",
    "state",
)


def cost_rows(costs: CostQuerySet) -> Iterator[Row]:
    """Of costs read with their details."""
    for cost in costs:
        for share in cost.shares.all():
            line = share.budget_line
            paid_by = (line.source.name, line.source.grant_number, line.words, _dollars(share.cents))
            yield (*_of_cost(cost), *paid_by, _state(cost))


def _of_cost(cost: Cost) -> Row:
    workshop = str(cost.workshop) if cost.workshop else ""
    return (
        cost.pk,
        cost.spent_on.isoformat(),
        cost.what_for,
        workshop,
        cost.paperwork,
        _dollars(cost.amount_cents),
    )


def hours_rows(hours: HoursQuerySet, *, with_names: bool) -> Iterator[Row]:
    """Of hours read with their details; hours that are match for nobody have a line too."""
    for entry in hours:
        name = (entry.volunteer,) if with_names else ()
        shares: list[tuple[str, object]] = [
            (share.source.name, share.minutes) for share in entry.shares.all()
        ] or [("", "")]
        for source, minutes in shares:
            yield (*_of_hours(entry), source, minutes, _state(entry), *name)


def _of_hours(entry: Hours) -> Row:
    return (
        entry.pk,
        entry.given_on.isoformat(),
        entry.get_doing_display(),
        str(entry.workshop) if entry.workshop else "",
        entry.paperwork,
        entry.minutes,
        _dollars(entry.rate.cents_per_hour),
        entry.rate.source,
    )


def _state(record: Cost | Hours) -> str:
    return "voided" if record.voided_at else "counts"


def _dollars(cents: int) -> str:
    return f"{cents // 100}.{cents % 100:02d}"


def answer(name: str, heading: Row, rows: Iterable[Row]) -> HttpResponse:
    """The table as a file to keep."""
    response = HttpResponse(
        as_csv([str(one) for one in heading], rows), content_type="text/csv; charset=utf-8"
    )
    response["Content-Disposition"] = f'attachment; filename="{name}"'
    return response
