"""The workbook that recomputes, sheet by sheet, in flat memory."""

from collections.abc import Callable
from typing import BinaryIO

from openpyxl import Workbook

from outreach.filings.documents.live.answers_sheet import write_answers
from outreach.filings.documents.live.browns_sheet import write_browns
from outreach.filings.documents.live.factors_sheet import write_factors
from outreach.filings.documents.live.frozen import Frozen
from outreach.filings.documents.live.landfill_sheet import write_landfills
from outreach.filings.documents.live.reading_sheets import write_notes, write_working
from outreach.filings.documents.live.record_sheets import write_records
from outreach.filings.documents.live.strata_sheet import write_strata, write_tonnes
from outreach.filings.documents.live.summary_sheet import start_summary, write_summary
from outreach.filings.documents.live.usual_sheet import write_usual_values
from outreach.filings.documents.live.weighed_sheet import write_weighed
from outreach.filings.models import Filing

Watch = Callable[[int, int], None]


def _nobody_watches(_done: int, _of: int) -> None:
    """No progress is shown."""


class NothingToRecompute(Exception):
    """The filing gives no estimate, or is of several quarters, so there are no formulas to write."""

    def __init__(self, filing: Filing) -> None:
        if filing.is_estimated:
            super().__init__(
                "The workbook that recomputes is of one quarter; this filing sums several. File its quarters and take "
                "theirs."
            )
        else:
            reason = filing.report["account"]["period"]["no_estimate_reason"]
            super().__init__(
                f"This filing gives no estimate of tonnes, so nothing can be recomputed. {reason}"
            )


def write_live_workbook(filing: Filing, target: BinaryIO, watch: Watch = _nobody_watches) -> None:
    """Write formulas from every answer in force to the headline of the filed quarter.

    `watch` is told how many answers are written, of how many.

    Raises
    ------
    NothingToRecompute
    """
    frozen = Frozen(filing)
    if not filing.is_recomputed_in_a_workbook:
        raise NothingToRecompute(filing)
    book = Workbook(write_only=True)
    summary = start_summary(book)
    write_factors(book, frozen)
    write_weighed(book, frozen)
    write_landfills(book, frozen)
    answers, rows = write_answers(book, frozen, watch)
    write_usual_values(book, frozen, answers, rows)
    write_strata(book, frozen, answers, rows)
    write_browns(book, answers, rows)
    write_tonnes(book, frozen, answers, rows)
    write_records(book, filing)
    write_working(book, frozen)
    write_notes(book, frozen)
    write_summary(summary, frozen)
    book.properties.title = f"{filing.title}: recomputing"
    book.properties.creator = "Loambook"
    book.save(target)
