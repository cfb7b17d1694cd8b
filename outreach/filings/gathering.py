"""Gather: from the records to cells of sums.

The only module of filings that touches households' rows, and it sees them grouped: memory does not grow with
the number of households.
"""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property
from typing import Any, TypeAlias

from django.db import DatabaseError, connection

from diversion.cells import AnswerCell, ExposureCell, Prior, QuitCount, Unit
from diversion.inputs import Quarter, QuarterCells
from outreach.filings import gather_sql, periods
from outreach.filings.models import Filing
from outreach.filings.periods import Slice
from outreach.followup.models import Wave
from outreach.funding.models import FundingSource
from outreach.households.months import later
from outreach.places.models import District, Jurisdiction

# Answers in force are those of the 18 months before the end of a slice, or the 45 days after it.
MONTHS_LOOKED_BACK = 18
DAYS_LOOKED_AHEAD = 45
DAYS_PER_MONTH = 365.25 / 12
NOT_GIVEN = -1
EXPOSURE_SUMS = ("households", "days", "unasked_households", "unasked_days")
ANSWER_SUMS = tuple(name for name in gather_sql.SUM_COLUMNS if not name.startswith("unasked"))

Sums: TypeAlias = "defaultdict[str, Any]"


class SumsTooLarge(Exception):
    """A sum does not fit the database's integers."""

    def __init__(self, part: Slice) -> None:
        self.part = part
        super().__init__(
            f"The sums of {part} do not fit 63 bits. File its jurisdictions one by one, and look for "
            f"amounts that are far too large."
        )


class TooManyOfAKind(Exception):
    """A number of a jurisdiction, district or funding source does not fit the key of a cell."""

    def __init__(self, number: int) -> None:
        self.number = number
        super().__init__(
            f"Jurisdiction, district or funding source number {number} is beyond {gather_sql.MOST_OF_A_KIND}. "
            "The records cannot be told apart in sums; ask whoever looks after the software."
        )


@dataclass(frozen=True, kw_only=True)
class Scope:
    """Whose households a filing is about: one jurisdiction's, or those of all places served."""

    jurisdiction: Jurisdiction | None

    @property
    def is_one(self) -> bool:
        return self.jurisdiction is not None

    @property
    def parameters(self) -> dict[str, int]:
        return {"jurisdiction": self.jurisdiction.pk} if self.jurisdiction else {}

    @property
    def name(self) -> str:
        return self.jurisdiction.name if self.jurisdiction else "All jurisdictions"

    @cached_property
    def jurisdictions(self) -> list[Jurisdiction]:
        """Read once: a filing sees them as they were when it began."""
        if self.jurisdiction:
            return [self.jurisdiction]
        return list(Jurisdiction.objects.select_related("landfill_profile"))


def parameters(part: Slice, *, scope: Scope, cut_off: date) -> dict[str, int]:
    """What the query of a slice is given. Days are ordinals; `cut` is the last day an answer may bear."""
    first_wave_months = min(Wave.objects.values_list("months_after", flat=True), default=0)
    return {
        "a": part.first_day.toordinal(),
        "b": part.after.toordinal(),
        "cut": last_answer_day(part.after, cut_off).toordinal() + 1,
        "oldest": oldest_answer_day(part.after).toordinal(),
        "first_wave_days": round(first_wave_months * DAYS_PER_MONTH),
        **scope.parameters,
    }


def oldest_answer_day(after: date) -> date:
    """The first day whose answers may count for days that end before `after`."""
    return later(after, -MONTHS_LOOKED_BACK)


def last_answer_day(after: date, cut_off: date) -> date:
    """The last day whose answers may count for them."""
    return min(after + timedelta(days=DAYS_LOOKED_AHEAD - 1), cut_off)


def gather_quarter(quarter: Quarter, *, scope: Scope, cut_off: date) -> QuarterCells:
    """The cells of one whole quarter, as the records stand with answers dated up to the cut-off.

    Raises
    ------
    SumsTooLarge
    """
    return gather_slice(periods.whole(quarter), scope=scope, cut_off=cut_off)


def gather_slice(part: Slice, *, scope: Scope, cut_off: date) -> QuarterCells:
    """The same of the days of a slice.

    Raises
    ------
    SumsTooLarge
    """
    query = gather_sql.cells_query(scoped=scope.is_one)
    try:
        rows = _rows(query, parameters(part, scope=scope, cut_off=cut_off))
    except DatabaseError as error:
        if "overflow" in str(error) or "out of range" in str(error):
            raise SumsTooLarge(part) from error
        raise
    return cells_of(part.quarter, part.span, rows, codes=Codes.load())


def gather_quits(*, scope: Scope, cut_off: date) -> tuple[QuitCount, ...]:
    """Answers to 'still composting?' by whole months since the first handout, for the quitting rate."""
    query = gather_sql.quits_query(scoped=scope.is_one)
    with connection.cursor() as cursor:
        cursor.execute(query, {"cut": cut_off.toordinal() + 1, **scope.parameters})
        return tuple(
            QuitCount(months=int(months), still=int(still), stopped=int(stopped))
            for months, still, stopped in cursor.fetchall()
        )


def first_day_in_use(*, scope: Scope) -> date | None:
    """The day on which the first bin came into use; None before any did."""
    with connection.cursor() as cursor:
        cursor.execute(gather_sql.first_exposed_day_query(scoped=scope.is_one), scope.parameters)
        (day,) = cursor.fetchone()
    return None if day is None else date.fromordinal(int(day))


@dataclass(frozen=True, slots=True)
class Codes:
    """Names for the identifiers of the query's rows, so that a filing reads without the records."""

    jurisdictions: dict[int, str]
    districts: dict[int, str]
    funding_sources: dict[int, str]

    @classmethod
    def load(cls) -> "Codes":
        kinds = (Jurisdiction, District, FundingSource)
        codes = cls(*(dict(kind.objects.values_list("pk", "name")) for kind in kinds))
        for names in (codes.jurisdictions, codes.districts, codes.funding_sources):
            if max(names, default=0) >= gather_sql.MOST_OF_A_KIND:
                raise TooManyOfAKind(max(names))
        return codes

    def place_of(self, row: dict[str, Any]) -> dict[str, Any]:
        return {
            "jurisdiction": self.jurisdictions[row["jurisdiction"]],
            "district": self.districts.get(row["district"], ""),
            "family": gather_sql.FAMILIES[row["family_code"]],
            "band": row["band"],
            # Lines kept by earlier versions know neither.
            "language": row.get("language", ""),
            "funding_source": self.funding_sources.get(row.get("funding_source", 0), ""),
        }


def cells_from_lines(filing: Filing, quarter: Quarter, span: str = "") -> QuarterCells:
    """The same cells, summed again from the lines kept behind a filing."""
    query = gather_sql.cells_of_lines_query()
    rows = _line_rows(query, {"filing": filing.pk, "quarter": str(quarter), "span": span})
    return cells_of(quarter, span, rows, codes=Codes.load())


def cells_of(quarter: Quarter, span: str, rows: Iterable[dict[str, Any]], *, codes: Codes) -> QuarterCells:
    """Cells from the query's grouped rows, or from a filing's lines grouped the same way."""
    exposure: dict[tuple[Any, ...], Sums] = defaultdict(lambda: defaultdict(int))
    answers: dict[tuple[Any, ...], Sums] = defaultdict(lambda: defaultdict(int))
    for row in rows:
        place = codes.place_of(row)
        _add(exposure[tuple(place.items())], row, EXPOSURE_SUMS)
        if row["answered"]:
            _add(answers[tuple((place | _answer_key(row)).items())], row, ANSWER_SUMS)
    return QuarterCells(
        quarter=quarter,
        span=span,
        exposure=tuple(ExposureCell(**(dict(key) | sums)) for key, sums in sorted(exposure.items())),
        answers=tuple(sorted((_answer_cell(dict(key), sums) for key, sums in answers.items()), key=repr)),
    )


def _add(sums: Sums, row: dict[str, Any], names: Iterable[str]) -> None:
    for name in names:
        sums[name] += row[name]


def _answer_key(row: dict[str, Any]) -> dict[str, Any]:
    return {
        "gap_months": row["gap_months"],
        "quarter_asked": row["quarter_asked"],
        "food_in": _unit(row["food_by_weight"]),
        "yard_in": _unit(row["yard_by_weight"]),
        "food_trash_percent": _given(row["food_trash"]),
        "food_composted_percent": _given(row["food_composted"]),
        "yard_trash_percent": _given(row["yard_trash"]),
        "yard_composted_percent": _given(row["yard_composted"]),
        "prior": Prior(row["prior"]),
        "still_composting": bool(row["still"]),
        "food_given": bool(row["food_given"]),
        "yard_given": bool(row["yard_given"]),
        "browns_given": bool(row["browns_given"]),
    }


def _answer_cell(key: dict[str, Any], sums: Sums) -> AnswerCell:
    return AnswerCell(**key, answers=sums.pop("households"), **sums)


def _unit(by_weight: int) -> Unit:
    return Unit.WEIGHT if by_weight else Unit.VOLUME


def _given(percent: int) -> int | None:
    return None if percent == NOT_GIVEN else percent


def _line_rows(query: str, values: dict[str, Any]) -> list[dict[str, Any]]:
    with connection.cursor() as cursor:
        cursor.execute(query, values)
        return [_line_row(*row) for row in cursor.fetchall()]


def _line_row(cell: str, with_browns: int, *sums: Any) -> dict[str, Any]:
    key = gather_sql.key_of_line(cell)
    # A filing whose lines keep no browns was computed without them, whatever its households told.
    return key | _sums(sums) | {"browns_given": key.get("browns_given", 0) if with_browns else 0}


def _rows(query: str, values: dict[str, Any]) -> list[dict[str, Any]]:
    with connection.cursor() as cursor:
        cursor.execute(query, values)
        return [
            gather_sql.unpacked(int(place), int(kind)) | _sums(sums)
            for place, kind, *sums in cursor.fetchall()
        ]


def _sums(sums: Iterable[Any]) -> dict[str, int]:
    # PostgreSQL sums integers into numerics; both come out as plain integers here.
    return dict(zip(gather_sql.SUM_COLUMNS, map(int, sums), strict=True))
