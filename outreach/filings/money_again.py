"""The money of a filing computed again from what its tables froze: sums, what is left, worth of hours, cost a tonne.

The rows themselves, each kind of cost and each source's spending, are frozen as printed and have no rows of their own
behind them: they are held by the digest of the report alone, and their rows lie in the auditor's pack.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from diversion.figures import Measure, Stream
from outreach.filings.masses import SHORT_TON, TONNE
from outreach.filings.models import Filing
from outreach.filings.report import Number, Report, Table
from outreach.filings.sections.money import dollars
from outreach.funding.figures import worth_cents
from outreach.funding.unit_costs import per_tonne

CENTS, MINUTES = 100, 60
MATCH = "Match, given in kind"


@dataclass(frozen=True, slots=True)
class Again:
    """One amount as it was filed, and computed again, as printed."""

    where: str
    filed: str
    found: str


def amounts(filing: Filing) -> Iterator[Again]:
    """Every amount of the money tables that follows from others of the filing."""
    tables = {table.key: table for table in Report.from_dict(filing.report).tables}
    for key, again in (("costs", _total), ("sources", _left), ("in_kind", _worth), ("shared_costs", _shares)):
        if key in tables:
            yield from again(tables[key])
    if {"costs", "unit_costs"} <= set(tables):
        yield from _tonne(filing, tables["costs"], tables["unit_costs"])


def _cents(cell: Any) -> int | None:
    known = isinstance(cell, Number) and cell.value is not None
    return round(cell.value * CENTS) if known else None


def _total(table: Table) -> Iterator[Again]:
    if table.total is None:
        return
    found = sum(_cents(row[1]) or 0 for row in table.rows)
    yield Again("money.costs.total", _printed(table.total[1]), dollars(found).printed)


def _left(table: Table) -> Iterator[Again]:
    """Granted less spent since it began; of match that is required, what is missing and never below 0."""
    for row in table.rows:
        granted, _in_period, since, left = row[2:]
        if None in (_cents(granted), _cents(since)):
            continue
        found = (_cents(granted) or 0) - (_cents(since) or 0)
        found = max(0, found) if row[1] == MATCH else found
        yield Again(f"money.sources.{row[0]}.{row[1]}", _printed(left), dollars(found).printed)


def _worth(table: Table) -> Iterator[Again]:
    for row in table.rows:
        hours, rate, worth = row[1:4]
        if isinstance(hours, Number) and hours.value is not None:
            found = worth_cents({_cents(rate) or 0: round(hours.value * MINUTES)})
            yield Again(f"money.in_kind.{row[0]}", _printed(worth), dollars(found).printed)


def _shares(table: Table) -> Iterator[Again]:
    for row in table.rows:
        part, whole, share = (_cents(row[2]), _cents(row[3]), row[4])
        if part is not None and whole:
            yield Again(
                f"money.shared_costs.{row[0]}.{row[1]}", _printed(share), f"{CENTS * part / whole:.1f}"
            )


def _tonne(filing: Filing, costs: Table, unit_costs: Table) -> Iterator[Again]:
    """The cost of the period by the tonnes kept out of landfill, with the ends of their range."""
    row = next((one for one in unit_costs.rows if str(one[0]).startswith("One of the ")), None)
    if row is None or costs.total is None:
        return
    mass = SHORT_TON if SHORT_TON.name in str(row[0]) else TONNE
    bound = next(
        one
        for one in filing.report["account"]["period"]["figures"]
        if (one["name"], one["stream"]) == (str(Measure.LANDFILL_BOUND), str(Stream.BOTH))
    )
    kept = (bound["said_lower"], bound["headline"]["value"], bound["said_upper"])
    low, value, high = (None if one is None else one / mass.tonnes_each for one in kept)
    cost = per_tonne(_cents(costs.total[1]) or 0, tonnes=value or 0.0, low=low, high=high)
    yield Again("money.unit_costs.tonne", _printed(row[1]), dollars(cost.cents).printed)
    if low is not None:
        most = dollars(cost.high_cents).printed if cost.high_cents is not None else "no limit"
        yield Again("money.unit_costs.range", str(row[2]), f"{dollars(cost.low_cents).printed} to {most}")


def _printed(cell: Any) -> str:
    return cell.printed if isinstance(cell, Number) else str(cell)
