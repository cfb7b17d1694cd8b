"""What a report is composed of, gathered in one place."""

from dataclasses import dataclass
from datetime import date

from diversion.findings import Finding
from diversion.inputs import AccountInputs, QuarterCells
from outreach.filings.answering import Answered
from outreach.filings.computing import Accounts, FilingInputs
from outreach.filings.costing import Money
from outreach.filings.counts import PeriodCounts
from outreach.filings.masses import MassUnit
from outreach.filings.periods import Period, Slice, YearToDate, in_words
from outreach.filings.trend import TrendPoint


@dataclass(frozen=True, slots=True, kw_only=True)
class Replaced:
    """The filing that a restatement replaces: what it was computed from."""

    submitted_on: str
    inputs: AccountInputs
    was_estimated: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Occasion:
    """One filing's facts: where, when, what was counted, what was computed."""

    place: str
    period: Period
    year_to_date: YearToDate
    cut_off: date
    mass: MassUnit
    counts: PeriodCounts
    counts_to_date: PeriodCounts
    inputs: FilingInputs
    accounts: Accounts
    findings: tuple[Finding, ...]
    money: Money
    # Of a draft none are there yet.
    answers: tuple[Answered, ...] = ()
    trend: tuple[TrendPoint, ...] = ()
    replaced: Replaced | None = None

    @property
    def cells_by_slice(self) -> dict[Slice, QuarterCells]:
        """The cells of the year to date and of the period; a slice of both stands once."""
        so_far = zip(self.year_to_date.slices, self.inputs.year_to_date.quarters, strict=True)
        own = zip(self.period.slices, self.inputs.period.quarters, strict=True)
        return dict((*so_far, *own))

    @property
    def first_day(self) -> date:
        return self.period.first_day

    @property
    def last_day(self) -> date:
        return self.period.last_day

    @property
    def period_in_words(self) -> str:
        return f"{day_in_words(self.first_day)} to {day_in_words(self.last_day)}"

    @property
    def year_in_words(self) -> str:
        kind = "fiscal year" if self.year_to_date.is_fiscal else "calendar year"
        return f"{kind} to date, from {day_in_words(self.year_to_date.first_day)}"


day_in_words = in_words
