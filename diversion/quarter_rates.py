"""One quarter from cells to group rates: joining, ageing, season, shares, and the exposure they apply to."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from diversion.cells import ExposureCell, PartKey
from diversion.columns import AMOUNTS, MATERIALS, AnswerColumns, Flags, Indices, stratum
from diversion.conversions import DAYS_PER_WEEK, QUARTERS_PER_YEAR
from diversion.inputs import QuarterCells
from diversion.linear import QUANTITIES, Contributions, Lines, contributions
from diversion.population import Array, GroupRates, scaled
from diversion.retention import QuittingRate
from diversion.season import YardIndex
from diversion.settings import SEASON_FEWEST_ANSWERS
from diversion.strata import CellCount, CellKey, Group, join


@dataclass(frozen=True, slots=True, kw_only=True)
class Assumptions:
    """What reported amounts are multiplied by: kilograms per unit, the quitting rate, the yard index or
    None; and how many answers about the quarter itself make the index needless.
    """

    densities: tuple[float, float, float, float]
    quitting: QuittingRate
    index: YardIndex | None
    season_fewest_answers: int = SEASON_FEWEST_ANSWERS


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class QuarterRates:
    """Rates of H groups for 16 quantities, and the exposure of P parts within each group.

    Parameters
    ----------
    cells : QuarterCells
    groups : tuple of Group, length H
    parts : tuple of PartKey, length P
    rates : GroupRates, shape (H, 16)
    mean_gaps : array, shape (16,)
        ΣTug/ΣTu over all answers: months by which each quantity was aged; 0 where the quantity is.
    asked_rates : array, shape (H, 16, 5)
        The rates' part from yard answers about no known quarter, and about quarters 1 to 4.
    still : array, shape (H,)
        Plain share of answers that still compost.
    exposed, answered, unasked : array, shape (H, P)
        Household-weeks of all, of those who answered, of those not yet asked.
    season : str
        'quarter' where only answers about the quarter serve yard trimmings, 'index', or 'none'.
    same_quarter_answers : int
        Answers about the quarter itself.
    nobody_gave : tuple of str
    """

    cells: QuarterCells
    groups: tuple[Group, ...]
    parts: tuple[PartKey, ...]
    rates: GroupRates
    mean_gaps: Array
    asked_rates: Array
    still: Array
    exposed: Array
    answered: Array
    unasked: Array
    season: str
    same_quarter_answers: int
    nobody_gave: tuple[str, ...]

    @property
    def composting(self) -> float:
        """p of step 8: share still composting, weighted by exposure."""
        weeks = self.exposed.sum(axis=1)
        return float(weeks @ self.still / weeks.sum())


def quarter_rates(cells: QuarterCells, assumptions: Assumptions) -> QuarterRates:
    """Estimate the weekly rates of each group of one quarter.

    Raises
    ------
    TooFewAnswers
        If there are fewer than five answers in all.
    """
    groups = join(cell_counts(cells))
    group_of = {cell.key: number for number, group in enumerate(groups) for cell in group.cells}
    parts = tuple(sorted({cell.part for cell in cells.exposure}))
    part_of = {part: number for number, part in enumerate(parts)}
    columns = AnswerColumns.of(cells.answers, group_of=group_of, part_of=part_of)
    adjusted = _adjusted(columns, cells.quarter.quarter, assumptions)
    drawn = contributions(
        columns,
        multipliers=adjusted.multipliers,
        given=adjusted.given,
        densities=np.array(assumptions.densities),
        band_of_group=_band_numbers(groups),
    )
    exposed, unasked = _exposure(cells.exposure, group_of, part_of)
    return QuarterRates(
        cells=cells,
        groups=groups,
        parts=parts,
        rates=_rates(columns, drawn, groups),
        mean_gaps=_mean_gaps(columns, drawn),
        asked_rates=_by_quarter_asked(columns, drawn.value),
        still=_sums(columns, columns.answers * columns.still) / _sums(columns, columns.answers),
        exposed=exposed,
        answered=_answered(columns, exposed),
        unasked=unasked,
        season=adjusted.season,
        same_quarter_answers=adjusted.same_quarter,
        nobody_gave=drawn.nobody_gave,
    )


def cell_counts(cells: QuarterCells) -> list[CellCount]:
    """Answers and households of each stratum of a quarter, before joining."""
    households: dict[CellKey, int] = {}
    for cell in cells.exposure:
        key = stratum(cell)
        households[key] = households.get(key, 0) + cell.households
    answers: dict[CellKey, int] = {}
    for answer in cells.answers:
        key = stratum(answer)
        answers[key] = answers.get(key, 0) + answer.answers
    return [CellCount(key=key, answers=answers.get(key, 0), households=n) for key, n in households.items()]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Adjusted:
    season: str
    same_quarter: int
    given: Flags
    multipliers: Array


def _adjusted(columns: AnswerColumns, quarter: int, assumptions: Assumptions) -> _Adjusted:
    ageing = np.exp(-assumptions.quitting.per_month * columns.gap_months)
    multipliers = np.column_stack([ageing, ageing])
    about = columns.asked == quarter
    season, given = "none", columns.given
    same_quarter = int(columns.answers @ about)
    if assumptions.index is not None and same_quarter >= assumptions.season_fewest_answers:
        # Amounts about other months count as not given; that those households compost at all still counts.
        season, given = "quarter", np.column_stack([columns.given[:, 0], columns.given[:, 1] & about])
    elif assumptions.index is not None:
        season = "index"
        asked = range(QUARTERS_PER_YEAR + 1)
        by_quarter = [assumptions.index.multiplier(to_quarter=quarter, asked=number) for number in asked]
        multipliers[:, 1] *= np.array(by_quarter)[columns.asked]
    return _Adjusted(season=season, same_quarter=same_quarter, given=given, multipliers=multipliers)


def _answered(columns: AnswerColumns, exposed: Array) -> Array:
    answered = np.zeros_like(exposed)
    np.add.at(answered, (columns.group, columns.part), columns.first[:, 0])
    return answered


def _band_numbers(groups: Sequence[Group]) -> Indices:
    numbers = {bands: number for number, bands in enumerate(dict.fromkeys(group.bands for group in groups))}
    return np.array([numbers[group.bands] for group in groups])


def _exposure(
    cells: Sequence[ExposureCell], group_of: Mapping[CellKey, int], part_of: Mapping[PartKey, int]
) -> tuple[Array, Array]:
    exposed, unasked = np.zeros((2, max(group_of.values()) + 1, len(part_of)))
    for cell in cells:
        if cell.households:
            place = group_of[stratum(cell)], part_of[cell.part]
            exposed[place] += cell.days
            unasked[place] += cell.unasked_days
    return exposed / DAYS_PER_WEEK, unasked / DAYS_PER_WEEK


def _rates(columns: AnswerColumns, drawn: Contributions, groups: Sequence[Group]) -> GroupRates:
    answers = np.array([group.answers for group in groups])
    centre = _per_week(columns, drawn.influence.weekly(columns))[columns.group]
    residuals = np.zeros((len(columns.group), QUANTITIES, 1 + MATERIALS))
    residuals[:, :, 0] = drawn.influence.constant - centre
    of_food = np.arange(QUANTITIES) % AMOUNTS < MATERIALS
    residuals[:, of_food, 1] = drawn.influence.slope[:, of_food]
    residuals[:, ~of_food, 2] = drawn.influence.slope[:, ~of_food]
    squared = residuals @ columns.second @ residuals.transpose(0, 2, 1)
    return GroupRates(
        rates=_per_week(columns, drawn.value.weekly(columns)),
        covariances=scaled(
            _sums(columns, squared), answered=_sums(columns, columns.first[:, 0]), answers=answers
        ),
        answers=answers,
        households=np.array([group.households for group in groups]),
        known=_sums(columns, drawn.known),
    )


def _mean_gaps(columns: AnswerColumns, drawn: Contributions) -> Array:
    weekly = drawn.value.weekly(columns).sum(axis=0)
    mean: Array = np.divide(drawn.gaps.sum(axis=0), weekly, out=np.zeros(QUANTITIES), where=weekly > 0)
    return mean


def _by_quarter_asked(columns: AnswerColumns, value: Lines) -> Array:
    weekly = np.zeros((len(columns.group), QUANTITIES, QUARTERS_PER_YEAR + 1))
    of_yard = np.flatnonzero(np.arange(QUANTITIES) % AMOUNTS >= MATERIALS)
    weekly[np.arange(len(columns.group))[:, None], of_yard, columns.asked[:, None]] = value.weekly(columns)[
        :, of_yard
    ]
    return _per_week(columns, weekly)


def _per_week(columns: AnswerColumns, values: Array) -> Array:
    weeks = _sums(columns, columns.first[:, 0])
    return _sums(columns, values) / weeks.reshape(-1, *[1] * (values.ndim - 1))


def _sums(columns: AnswerColumns, values: Array) -> Array:
    """Sums over each group's cells; the cells are ordered by group, and every group has some."""
    starts = np.flatnonzero(np.diff(columns.group, prepend=-1))
    return np.asarray(np.add.reduceat(values, starts, axis=0))
