"""Answer cells of one quarter as arrays, in weeks, litres and kilograms, sorted by the group they belong
to.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from operator import attrgetter

import numpy as np
from numpy.typing import NDArray

from diversion.cells import AnswerCell, ExposureCell, PartKey, Prior, Unit
from diversion.conversions import DAYS_PER_WEEK
from diversion.population import Array
from diversion.settings import DECAGRAMS_PER_KG, DECILITRES_PER_LITRE, WHOLE_PERCENT
from diversion.strata import CellKey

Flags = NDArray[np.bool_]
Indices = NDArray[np.int64]

# The four amounts of an answer, of which it gives at most one for food and one for yard trimmings.
MATERIAL_OF_AMOUNT = np.array([0, 0, 1, 1])
AMOUNTS = len(MATERIAL_OF_AMOUNT)
MATERIALS = 2

_SUMS = attrgetter(
    "answers",
    "days",
    "days_food",
    "days_yard",
    "days_sq",
    "days_sq_food",
    "days_sq_yard",
    "days_sq_food_sq",
    "days_sq_food_yard",
    "days_sq_yard_sq",
)
# Where each of the last six sums stands in the symmetric matrix over (1, food, yard).
_ROWS = np.array([0, 0, 0, 1, 1, 2])
_COLUMNS = np.array([0, 1, 2, 1, 2, 2])


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class AnswerColumns:
    """C answer cells, one entry each, ordered by group.

    Parameters
    ----------
    group : array of int, shape (C,)
    part : array of int, shape (C,)
        Which part of every kind, see `cells.PART_FIELDS`.
    answers : array, shape (C,)
    first : array, shape (C, 3)
        ΣT, ΣTf, ΣTy. [weeks; weeks x L or kg per week]
    second : array, shape (C, 3, 3)
        ΣT²zz', z = (1, f, y).
    in_unit : array of bool, shape (C, 4)
        Which of food volume, food weight, yard volume, yard weight the amounts are.
    still : array of bool, shape (C,)
    given : array of bool, shape (C, 2)
        Whether the amount of food, of yard trimmings was given.
    shares : array, shape (2, C, 2)
        Share that went to trash, that was composted before, by material; not-a-number where not given.
    is_new : array of bool, shape (C,)
    gap_months : array, shape (C,)
    asked : array of int, shape (C,)
        Calendar quarter of the yard question, 0 if unknown.
    """

    group: Indices
    part: Indices
    answers: Array
    first: Array
    second: Array
    in_unit: Flags
    still: Flags
    given: Flags
    shares: Array
    is_new: Flags
    gap_months: Array
    asked: Indices

    @classmethod
    def of(
        cls,
        cells: Sequence[AnswerCell],
        *,
        group_of: Mapping[CellKey, int],
        part_of: Mapping[PartKey, int],
    ) -> "AnswerColumns":
        """Read the cells.

        Parameters
        ----------
        cells : sequence of AnswerCell
        group_of : mapping
            Stratum to the number of the group that it was joined into.
        part_of : mapping
            Part of every kind to its number.
        """
        groups = np.array([group_of[stratum(cell)] for cell in cells])
        order = np.argsort(groups, kind="stable")
        ordered = [cells[index] for index in order]
        answers, first, second, in_unit = _sums(ordered)
        return cls(
            group=groups[order],
            part=np.array([part_of[cell.part] for cell in ordered]),
            answers=answers,
            first=first,
            second=second,
            in_unit=in_unit,
            still=np.array([cell.still_composting for cell in ordered]),
            given=np.array([(cell.food_given, cell.yard_given) for cell in ordered]),
            shares=_shares(ordered),
            is_new=np.array([cell.prior == Prior.NEW for cell in ordered]),
            gap_months=np.array([cell.gap_months for cell in ordered], dtype=float),
            asked=np.array([cell.quarter_asked for cell in ordered]),
        )


def stratum(cell: AnswerCell | ExposureCell) -> CellKey:
    """The stratum that a cell belongs to before joining."""
    return CellKey(jurisdiction=cell.jurisdiction, family=cell.family, band=cell.band)


def _sums(cells: Sequence[AnswerCell]) -> tuple[Array, Array, Array, Flags]:
    sums = np.array([_SUMS(cell) for cell in cells], dtype=float)
    volume = np.array([(cell.food_in == Unit.VOLUME, cell.yard_in == Unit.VOLUME) for cell in cells])
    size = np.ones((len(cells), 1 + MATERIALS))  # of one unit of (1, food, yard) in litres or kilograms
    size[:, 1:] = np.where(volume, 1 / DECILITRES_PER_LITRE, 1 / DECAGRAMS_PER_KG)
    first = sums[:, 1 : 2 + MATERIALS] * size / DAYS_PER_WEEK
    second = np.empty((len(cells), 1 + MATERIALS, 1 + MATERIALS))
    second[:, _ROWS, _COLUMNS] = second[:, _COLUMNS, _ROWS] = sums[:, 2 + MATERIALS :]
    second *= size[:, :, None] * size[:, None, :] / DAYS_PER_WEEK**2
    in_unit = np.column_stack([volume[:, 0], ~volume[:, 0], volume[:, 1], ~volume[:, 1]])
    return sums[:, 0], first, second, in_unit


def _shares(cells: Sequence[AnswerCell]) -> Array:
    trash = [(cell.food_trash_percent, cell.yard_trash_percent) for cell in cells]
    composted = [(cell.food_composted_percent, cell.yard_composted_percent) for cell in cells]
    return np.array([trash, composted], dtype=float) / WHOLE_PERCENT
