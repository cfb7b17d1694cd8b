"""The list of a workshop as the page shows it; higher apps add columns in `AppConfig.ready()`."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.utils.functional import Promise

from outreach.workshops.models import Registration

CellsFor = Callable[[Sequence[Registration]], Mapping[int, Any]]


@dataclass(frozen=True, slots=True)
class Column:
    """One further column: its heading, what its cells say, and the template that prints one."""

    heading: str | Promise
    cell_for: CellsFor
    template: str


@dataclass(frozen=True, slots=True)
class Cell:
    """What one further column says of one registration; the template sees it as `cell.value`."""

    column: Column
    value: Any


@dataclass(frozen=True, slots=True)
class Row:
    """One registration and its further cells."""

    registration: Registration
    cells: tuple[Cell, ...]


_columns: dict[str, Column] = {}


def register_column(heading: str | Promise, cell_for: CellsFor, template: str) -> None:
    """Add a column to every roster.

    `cell_for(registrations)` is called once for the whole list and returns what the cell of each
    registration says, by its number; `template` is rendered for each with `registration`, `cell`
    (its `value` is None where the mapping has none), `workshop`, `may_change` and `request`.
    The same template registered again replaces the earlier column.
    """
    _columns[template] = Column(heading, cell_for, template)


def columns() -> list[Column]:
    return list(_columns.values())


def rows_of(registrations: Iterable[Registration]) -> list[Row]:
    """The rows of a roster; each further column is asked once, however long the list."""
    listed = list(registrations)
    told = [(column, column.cell_for(listed)) for column in _columns.values()]
    return [Row(one, tuple(Cell(c, cells.get(one.pk)) for c, cells in told)) for one in listed]
