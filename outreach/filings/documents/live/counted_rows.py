"""Counts and money of the summary as formulas over the row sheets, beside what the filing printed."""

from collections.abc import Iterator
from dataclasses import dataclass

from outreach.filings import costing
from outreach.filings.documents.council import unit_of
from outreach.filings.documents.live.frozen import Frozen
from outreach.filings.documents.live.grid import Formula, Grid
from outreach.filings.documents.live.period_rows import FAMILIES, KINDS_OF_COST
from outreach.filings.masses import SHORT_TON
from outreach.filings.report import Number, Report
from outreach.filings.sections.activity import COUNTED

HEADINGS = ("Counted and paid", "Unit", "Worked out here", "As filed", "Difference")
WORDS = dict(COUNTED)
BY_COUNT = {
    "workshops": "SUM(workshops_took_place)",
    "attendances": "SUM(workshops_came)",
    "unlisted": "SUM(workshops_unlisted_there)",
    "bins": "SUM(handouts_counted)",
    "households_with_new_bin": "SUM(handouts_counted_first)",
}
STOCK_WORDS = {
    "received": "Bins received, whole programme",
    "handed_out": "Bins off the shelves to households, whole programme",
    "taken_back": "Bins that came back, whole programme",
    "written_off": "Bins written off, whole programme",
}
TOTAL_CENTS = "(SUM(handouts_price_out)-SUM(handouts_copay_out)+SUM(costs_counted_cents))"
IN_UNIT = {True: "filed_landfill_bound*kg_per_tonne/kg_per_short_ton", False: "filed_landfill_bound"}


@dataclass(frozen=True, slots=True, kw_only=True)
class CountedRow:
    """A row of the summary; `filed` is None where the filing printed no such figure."""

    words: str
    unit: str
    formula: str
    filed: float | None = None


class Printed:
    """What the tables of a filing's report hold, by table, words and column."""

    def __init__(self, report: Report) -> None:
        self._cells = {
            (table.key, str(row[0])): row
            for table in report.tables
            for row in (*table.rows, *((table.total,) if table.total else ()))
        }

    def value(self, table: str, words: str, column: int = 1) -> float | None:
        row = self._cells.get((table, words))
        cell = row[column] if row else None
        return cell.value if isinstance(cell, Number) else None


def write_counted(grid: Grid, frozen: Frozen) -> None:
    """A block of rows under the tonnes."""
    report = Report.from_dict(frozen.filing.report)
    printed = Printed(report)
    grid.put()
    grid.head(*HEADINGS)
    for row in (*_answering(frozen), *_counts(printed), *_money(frozen, printed), *_each(frozen, report)):
        difference = () if row.filed is None else (grid.formula("={headline}-{filed}"),)
        grid.put(row.words, row.unit, Formula(f"={row.formula}"), row.filed, *difference)


def _answering(frozen: Frozen) -> Iterator[CountedRow]:
    counts = frozen.filing.report["account"]["period"]["counts"][-1]
    for words, name, filed in (
        ("Households with a bin", "stratum_households", counts["households"]),
        ("Answers in force", "stratum_answers", counts["answers"]),
        ("Answers: still composting", "stratum_still", counts["still_composting"]),
    ):
        yield CountedRow(words=words, unit="", formula=f"SUM({name})", filed=filed)


def _counts(printed: Printed) -> Iterator[CountedRow]:
    for key, formula in BY_COUNT.items():
        words = WORDS[key]
        yield CountedRow(words=words, unit="", formula=formula, filed=printed.value("activity", words))
    for family in FAMILIES.values():
        filed = printed.value("bins", family)
        if filed is not None:
            formula = f'SUMIFS(handouts_counted,handouts_family,"{family}")'
            yield CountedRow(words=f"Bins that went home: {family}", unit="", formula=formula, filed=filed)
    for why, words in STOCK_WORDS.items():
        yield CountedRow(words=words, unit="", formula=f'SUMIFS(stock_quantity,stock_why,"{why}")')


def _money(frozen: Frozen, printed: Printed) -> Iterator[CountedRow]:
    for words, formula in (
        ("Bins handed out, at the price of their order", "SUM(handouts_price_out)/100"),
        ("Co-pay taken for them", "-SUM(handouts_copay_out)/100"),
    ):
        yield CountedRow(words=words, unit="$", formula=formula, filed=printed.value("costs", words))
    for kind in KINDS_OF_COST.values():
        filed = printed.value("costs", kind[:1].upper() + kind[1:])
        formula = f'SUMIFS(costs_counted_cents,costs_kind,"{kind}")/100'
        yield CountedRow(words=f"Cost: {kind}", unit="$", formula=formula, filed=filed)
    all_of_it = printed.value("costs", "All")
    yield CountedRow(words="Cost of the period", unit="$", formula=f"{TOTAL_CENTS}/100", filed=all_of_it)


def _each(frozen: Frozen, report: Report) -> Iterator[CountedRow]:
    """Cost of one household, bin and tonne, to the cent as the filing prints them."""
    unit, filing = unit_of(report), frozen.filing
    its = costing.money_between(filing.first_day_on, filing.last_day_on, jurisdiction=filing.jurisdiction)
    before = its.cost_until_cents - its.cost_cents
    for words, cents, count in (
        ("A household that took a bin in the period", TOTAL_CENTS, "SUM(handouts_out_first)"),
        (
            "A bin still in use on the last day, of all cost so far",
            f"({TOTAL_CENTS}+{before})",
            str(its.in_use),
        ),
        (
            f"One of the {unit.name} kept out of landfill in the period",
            TOTAL_CENTS,
            IN_UNIT[unit is SHORT_TON],
        ),
    ):
        filed = Printed(report).value("unit_costs", words)
        if filed is not None:
            formula = f'IF({count}>0,ROUND({cents}/({count}),0)/100,"")'
            yield CountedRow(words=words, unit="$", formula=formula, filed=filed)
