"""The grid in which the weeks of one home are typed: a row a week, two amounts a material; each saved by itself."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Self

from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _

from outreach.followup import weighed_weeks
from outreach.followup.amount_reader import AmountReader
from outreach.followup.models import WeighedWeek, WeighIn
from outreach.followup.weighed_weeks import G_PER_KG, WeekAsTyped
from outreach.followup.weighing import Act


@dataclass(slots=True, kw_only=True)
class Cell:
    """One week and material: what stands in its two fields, what is on record, and what is wrong with it."""

    week: int
    material: str
    label: str
    reported: str = ""
    weighed: str = ""
    row: WeighedWeek | None = None
    problems: list[str] = field(default_factory=list)

    @property
    def name(self) -> str:
        return f"{self.material}-{self.week}"

    @property
    def typed(self) -> WeekAsTyped:
        return WeekAsTyped(
            week=self.week, material=self.material, reported=self.reported, weighed=self.weighed
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Week:
    """One row of the grid: a week of the season and its cells."""

    number: int
    begins_on: date
    ends_on: date
    cells: tuple[Cell, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """Every week of the season of a weigh-in."""

    weigh_in: WeighIn
    weeks: tuple[Week, ...]

    @classmethod
    def of(cls, weigh_in: WeighIn, sent: Mapping[str, str] | None = None) -> Self:
        """As it is on record, under what was sent where something was."""
        known = {(row.week, row.material): row for row in weigh_in.weighed_weeks.all()}
        season = weigh_in.season
        return cls(
            weigh_in=weigh_in,
            weeks=tuple(
                Week(
                    number=number,
                    begins_on=season.week_begins_on(number),
                    ends_on=season.week_ends_on(number),
                    cells=tuple(
                        _cell(number, material, str(label), known.get((number, material)), sent)
                        for material, label in WeighedWeek.Material.choices
                    ),
                )
                for number in range(1, season.weeks + 1)
            ),
        )

    def save(self, act: Act) -> int:
        """Write each cell that has something in it, by itself; how many are in order. What is wrong stays typed."""
        amounts, written = AmountReader.load(), 0
        for cell in self._cells():
            if cell.typed.is_empty:
                if cell.row is not None:
                    cell.problems = [_("This week is on record and stays. Where it is wrong, set it aside.")]
                continue
            try:
                cell.row = weighed_weeks.record_week(
                    weigh_in=self.weigh_in, typed=cell.typed, amounts=amounts, act=act
                )
                written += 1
            except ValidationError as problem:
                cell.problems = list(problem.messages)
        return written

    @property
    def problems(self) -> list[Cell]:
        return [cell for cell in self._cells() if cell.problems]

    @property
    def waiting(self) -> list[Cell]:
        return [cell for cell in self._cells() if cell.row is not None and cell.row.waits]

    def _cells(self) -> list[Cell]:
        return [cell for week in self.weeks for cell in week.cells]


def _cell(
    week: int, material: str, label: str, row: WeighedWeek | None, sent: Mapping[str, str] | None
) -> Cell:
    cell = Cell(week=week, material=material, label=label, row=row)
    if row is not None:
        cell.reported, cell.weighed = row.reported_as_written, _kilograms(row.weighed_g)
    if sent is not None:
        cell.reported = sent.get(f"{cell.name}-reported", cell.reported)
        cell.weighed = sent.get(f"{cell.name}-weighed", cell.weighed)
    return cell


def _kilograms(grams: int) -> str:
    """As a bare number, which is read as kilograms again."""
    whole = f"{grams / G_PER_KG:.3f}".rstrip("0").rstrip(".")
    return whole or "0"
