"""Reading the code of a period, as it is typed and as a filing keeps it."""

import re
from datetime import date

from outreach.filings import periods
from outreach.filings.periods import Kind, NotAPeriod, Period

_KINDS = (
    (Kind.QUARTER, r"(\d{4})\s*-?\s*[Qq]([1-4])"),
    (Kind.YEAR, r"(\d{4})"),
    (Kind.FISCAL_QUARTER, r"[Ff][Yy]\s*(\d{4})\s*-?\s*[Qq]([1-4])"),
    (Kind.FISCAL_YEAR, r"[Ff][Yy]\s*(\d{4})"),
    (Kind.DAYS, r"(\d{4}-\d{2}-\d{2})/(\d{4}-\d{2}-\d{2})"),
)
HOW = (
    "Write 2025-Q2 for a quarter, 2025 for a calendar year, FY2026-Q1 or FY2026 for a fiscal quarter or year, or "
    "the first and the last day as 2025-02-15/2026-02-14."
)


class NoCommonFiscalYear(NotAPeriod):
    """Jurisdictions filed together have fiscal years that start in different months."""

    def __init__(self) -> None:
        super().__init__(
            "The jurisdictions' fiscal years start in different months, so together they have no fiscal quarter or "
            "year. File each by itself, or calendar quarters."
        )


def kind_of(code: str) -> Kind:
    """The clock of a code as a filing keeps it."""
    return next(kind for kind, pattern in _KINDS if re.fullmatch(pattern, code))


def read(text: str, *, starts_month: int | None) -> Period:
    """Read a code. `starts_month` is that of the fiscal year; None where several disagree.

    Raises
    ------
    NotAPeriod
        In words for the person who typed it.
    """
    for kind, pattern in _KINDS:
        if found := re.fullmatch(pattern, text.strip()):
            try:
                return _period(kind, found.groups(), starts_month)
            except NotAPeriod:
                raise
            except ValueError as error:
                raise NotAPeriod(f"{text!r} has a year or a day that does not exist. {HOW}") from error
    raise NotAPeriod(f"{text!r} is not a period. {HOW}")


def _period(kind: Kind, parts: tuple[str, ...], starts_month: int | None) -> Period:
    match kind:
        case Kind.QUARTER:
            return periods.calendar_quarter(periods.read_quarter(f"{parts[0]}-Q{parts[1]}"))
        case Kind.YEAR:
            return periods.calendar_year(int(parts[0]))
        case Kind.DAYS:
            return periods.of_days(date.fromisoformat(parts[0]), date.fromisoformat(parts[1]))
    if starts_month is None:
        raise NoCommonFiscalYear
    if kind == Kind.FISCAL_YEAR:
        return periods.fiscal_year(int(parts[0]), starts_month=starts_month)
    return periods.fiscal_quarter(int(parts[0]), int(parts[1]), starts_month=starts_month)
