"""Handouts, workshops, stock and costs of the period, row by row, with what each counts for as formulas."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from openpyxl import Workbook

from outreach.filings.documents.live import period_rows
from outreach.filings.documents.live.grid import Grid, Value
from outreach.filings.models import Filing

LATE = {"late": "Entered after the filing (1 yes)", "voided": "Voided since the filing (1 yes)"}
# As filed, or as the records stand: the switch is on the sheet of factors.
COUNTED = "=IF(count_since=1,1-{voided},1-{late})"


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordSheet:
    """One sheet: its columns as recorded, those that formulas work out, and which of them have names.

    A formula may look at the row above: `above_` and the key of a column.
    """

    title: str
    about: str
    kept: dict[str, str]
    named: tuple[str, ...]
    worked_out: dict[str, tuple[str, str]] = field(default_factory=dict)


def _once(counted: str) -> dict[str, tuple[str, str]]:
    """Whether a row is the first of its household that counts; households stand beside each other."""
    same = "{household}={above_household}"
    seen, first = f"{counted}_seen", f"{counted}_first"
    return {
        seen: (
            "Household counted up to here",
            f"=IF({same},MAX({{{counted}}},{{above_{seen}}}),{{{counted}}})",
        ),
        first: ("First of its household", f"=IF({same},{{{seen}}}-{{above_{seen}}},{{{seen}}})"),
    }


HANDOUTS = RecordSheet(
    title="Handouts",
    about="Bins that went home in the period. A household's rows stand beside each other, so that it counts once.",
    kept={
        "number": "Handout",
        "household": "Household number",
        "on": "Handed out on",
        "workshop": "Workshop",
        "model": "Bin model",
        "lot": "Lot",
        "copay": "Co-pay taken, cents",
        "price": "Price of its order, cents",
        "family": "Bin family",
        "back": "Bin came back to a shelf (1 yes)",
        **LATE,
    },
    worked_out={
        "counted": ("Counts", COUNTED),
        **_once("counted"),
        "out": ("Counts, and its bin is out", "={counted}*(1-{back})"),
        **_once("out"),
        "price_out": ("Price of bins that are out, cents", "={out}*{price}"),
        "copay_out": ("Co-pay of bins that are out, cents", "={out}*{copay}"),
    },
    named=("counted", "family", "counted_first", "out_first", "price_out", "copay_out"),
)
WORKSHOPS = RecordSheet(
    title="Workshops",
    about="Workshops of the period that were not cancelled. Someone who came to two is in the attendances of both.",
    kept={
        "number": "Workshop",
        "on": "Held on",
        "venue": "Venue",
        "place": "Jurisdiction",
        "kind": "Kind",
        "state": "State",
        "language": "Language",
        "seats": "Seats",
        "booked": "People booked",
        "planned": "Bins planned",
        "unlisted": "In the room, on no list",
        "came": "Attendances",
    },
    worked_out={
        "took_place": ("Took place", '=IF(OR({state}="held",{state}="closed"),1,0)'),
        "unlisted_there": ("On no list, where it took place", "={took_place}*{unlisted}"),
    },
    named=("took_place", "came", "unlisted_there"),
)
STOCK = RecordSheet(
    title="Stock",
    about="Movements of bins in the period, of the whole programme: a shelf belongs to no jurisdiction.",
    kept={
        "number": "Movement",
        "on": "Moved on",
        "model": "Bin model",
        "family": "Bin family",
        "quantity": "Bins",
        "from": "From",
        "to": "To",
        "why": "Why",
        "lot": "Lot",
    },
    named=("quantity", "why", "family"),
)
COSTS = RecordSheet(
    title="Costs",
    about="What was spent in the period besides bins, a row a part that one budget line pays.",
    kept={
        "number": "Cost",
        "on": "Spent on",
        "what": "What for",
        "workshop": "Workshop",
        "source": "Funding source",
        "kind": "Budget line",
        "cents": "Its part, cents",
        "whole": "The whole cost, cents",
        **LATE,
    },
    worked_out={
        "counted": ("Counts", COUNTED),
        "counted_cents": ("Its part, where it counts, cents", "={counted}*{cents}"),
    },
    named=("kind", "source", "counted_cents"),
)


def write_records(book: Workbook, filing: Filing) -> None:
    """The four sheets; names of columns begin with the sheet's, such as `handouts_family`."""
    _sheet(book, HANDOUTS, period_rows.handout_rows(filing))
    _sheet(book, WORKSHOPS, period_rows.workshop_rows(filing))
    _sheet(book, STOCK, period_rows.stock_rows(filing))
    _sheet(book, COSTS, period_rows.cost_rows(filing))


def _sheet(book: Workbook, of: RecordSheet, rows: Iterable[list[Value]]) -> None:
    grid = Grid(book, of.title, [*of.kept, *of.worked_out], wide=0)
    grid.sheet.freeze_panes = "B3"
    grid.put(of.about)
    grid.head(*of.kept.values(), *(heading for heading, _formula in of.worked_out.values()))
    first = grid.row + 1
    for row in rows:
        above = {f"above_{key}": f"{letter}{grid.row}" for key, letter in grid.letters.items()}
        grid.put(*row, *(grid.formula(formula, **above) for _heading, formula in of.worked_out.values()))
    if grid.row < first:
        grid.put()
    for key in of.named:
        grid.name(f"{of.title.lower()}_{key}", key, first, grid.row)
