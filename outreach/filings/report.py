"""A filing as one frozen object: what the page, the PDF, the workbook and the JSON are all made from.

Numbers stand unrounded beside the words that print them, so no document rounds for itself.
"""

import hashlib
import json
from dataclasses import asdict, dataclass, field
from typing import Any


class UnknownFormat(Exception):
    """A report was frozen by another version of the software, in a format that this one cannot read."""

    def __init__(self, found: object) -> None:
        self.found = found
        super().__init__(
            f"The report is in format {found!r}; this version reads format {FORMAT}. Use the software version that the "
            "filing names."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Number:
    """A number in a table or a headline: its value, and how every document prints it."""

    value: float | int | None
    printed: str

    def __str__(self) -> str:
        return self.printed


Cell = str | Number
# Of a frozen report. Whoever changes the shape of one raises it, and reads the old ones still.
FORMAT = 1
# Tables with more columns than this get the page's whole width.
WIDE_FROM = 6


@dataclass(frozen=True, slots=True, kw_only=True)
class Headline:
    """One of the big figures: a number with its unit, its interval in words, and what it is."""

    key: str
    number: Number
    unit: str
    interval: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """A column of a table; its unit stands in the heading."""

    heading: str
    unit: str = ""
    is_number: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """A table, each row as long as the columns; `total` is a last row that sums them."""

    key: str
    caption: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]
    total: tuple[Cell, ...] | None = None
    note: str = ""

    def __post_init__(self) -> None:
        for row in (*self.rows, *([self.total] if self.total else [])):
            if len(row) != len(self.columns):
                raise ValueError(
                    f"A row of {self.key!r} has {len(row)} cells for {len(self.columns)} columns."
                )

    @property
    def is_wide(self) -> bool:
        return len(self.columns) > WIDE_FROM

    @property
    def labelled_rows(self) -> list[list[tuple[Column, str, Cell]]]:
        """Each cell beside its column, and the heading that a narrow screen shows."""
        return [self._labelled(row) for row in self.rows]

    @property
    def labelled_total(self) -> list[tuple[Column, str, Cell]]:
        return self._labelled(self.total or ())

    def _labelled(self, row: tuple[Cell, ...]) -> list[tuple[Column, str, Cell]]:
        headings = (f"{column.heading} {column.unit}".strip() for column in self.columns)
        return list(zip(self.columns, headings, row, strict=False))


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """One bar of a chart with its interval, if it has one; `series` counts from 0."""

    label: str
    value: float
    lower: float | None = None
    upper: float | None = None
    printed: str = ""
    series: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Chart:
    """A chart of one series, or of those that `series` names.

    `shape` is 'bars' that lie, 'columns' that stand for a run of quarters, 'pairs' of them, 'falls' from a whole to
    what is left of it (a bar of the second series is taken off what stands above), or a 'curve' that steps down from
    1 at the months that its bars name, between its limits.
    """

    key: str
    caption: str
    unit: str
    bars: tuple[Bar, ...]
    alt: str
    shape: str = "bars"
    series: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """A heading with what stands under it."""

    key: str
    heading: str
    paragraphs: tuple[str, ...] = ()
    tables: tuple[Table, ...] = ()
    charts: tuple[Chart, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Report:
    """Everything a filing says."""

    title: str
    subtitle: str
    summary: str
    headlines: tuple[Headline, ...]
    sections: tuple[Section, ...]
    made_from: tuple[str, ...] = ()
    account: dict[str, Any] = field(default_factory=dict)

    def to_dict(self) -> dict[str, Any]:
        """Plain data that a filing keeps, marked with the format it is in."""
        return json.loads(as_text({**asdict(self), "format": FORMAT}))

    @property
    def tables(self) -> tuple[Table, ...]:
        return tuple(table for section in self.sections for table in section.tables)

    @property
    def charts(self) -> tuple[Chart, ...]:
        return tuple(chart for section in self.sections for chart in section.charts)

    @classmethod
    def from_dict(cls, data: dict[str, Any]) -> "Report":
        """The report as it was frozen.

        Raises
        ------
        UnknownFormat
        """
        if data.get("format") != FORMAT:
            raise UnknownFormat(data.get("format"))
        return cls(
            title=data["title"],
            subtitle=data["subtitle"],
            summary=data["summary"],
            headlines=tuple(
                Headline(**{**one, "number": Number(**one["number"])}) for one in data["headlines"]
            ),
            sections=tuple(_section(one) for one in data["sections"]),
            made_from=tuple(data["made_from"]),
            account=data["account"],
        )


def as_text(data: Any) -> str:
    """The one spelling of frozen data, for digests: sorted keys, no blanks, shortest floats."""
    return json.dumps(data, sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False)


def digest(data: Any) -> str:
    return hashlib.sha256(as_text(data).encode()).hexdigest()


def _section(data: dict[str, Any]) -> Section:
    return Section(
        key=data["key"],
        heading=data["heading"],
        paragraphs=tuple(data["paragraphs"]),
        tables=tuple(_table(one) for one in data["tables"]),
        charts=tuple(_chart(one) for one in data["charts"]),
    )


def _chart(data: dict[str, Any]) -> Chart:
    bars, series = tuple(Bar(**bar) for bar in data["bars"]), tuple(data.get("series", ()))
    return Chart(**{**data, "bars": bars, "series": series})


def _table(data: dict[str, Any]) -> Table:
    return Table(
        key=data["key"],
        caption=data["caption"],
        columns=tuple(Column(**one) for one in data["columns"]),
        rows=tuple(_row(row) for row in data["rows"]),
        total=_row(data["total"]) if data["total"] else None,
        note=data["note"],
    )


def _row(cells: list[Any]) -> tuple[Cell, ...]:
    return tuple(Number(**cell) if isinstance(cell, dict) else cell for cell in cells)
