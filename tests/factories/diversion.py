"""Cells and inputs of accounts, valid by default; cells are summed from single answers."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from diversion.cells import AnswerCell, ExposureCell
from diversion.factors import load
from diversion.inputs import AccountInputs, JurisdictionSettings, MethodSettings, Quarter, QuarterCells

WHOLE_QUARTER = 91  # days
PLACE = {"jurisdiction": "A", "district": "1", "family": "mesh", "band": 1}


@dataclass(frozen=True, kw_only=True)
class Answer:
    """One household's answer, before it is summed into its cell: whole amounts per week, days exposed."""

    food: int = 0
    yard: int = 0
    browns: int = 0
    days: int = WHOLE_QUARTER
    key: dict = field(default_factory=dict)


def make_exposure(**differences) -> ExposureCell:
    fields = PLACE | {"households": 10, "days": 10 * WHOLE_QUARTER} | differences
    return ExposureCell(**fields)


def make_answers(answers: Iterable[Answer], **differences) -> AnswerCell:
    """Sum answers that are alike in all but amounts and days."""
    sums = defaultdict(int)
    for one in answers:
        t, f, y, b = one.days, one.food, one.yard, one.browns
        sums["answers"] += 1
        for name, value in (
            ("days", t),
            ("days_sq", t * t),
            ("days_food", t * f),
            ("days_yard", t * y),
            ("days_sq_food", t * t * f),
            ("days_sq_yard", t * t * y),
            ("days_sq_food_sq", t * t * f * f),
            ("days_sq_yard_sq", t * t * y * y),
            ("days_sq_food_yard", t * t * f * y),
            ("days_browns", t * b),
            ("days_sq_browns", t * t * b),
            ("days_sq_browns_sq", t * t * b * b),
        ):
            sums[name] += value
    return AnswerCell(**(PLACE | differences | sums))


def make_cells(rows: Sequence[Answer]) -> tuple[AnswerCell, ...]:
    """Sum answers of any kind into as many cells as they need."""
    by_key = defaultdict(list)
    for row in rows:
        by_key[tuple(sorted(row.key.items()))].append(row)
    return tuple(make_answers(members, **dict(key)) for key, members in by_key.items())


def make_quarter(**differences) -> QuarterCells:
    fields = {
        "quarter": Quarter(year=2025, quarter=2),
        "exposure": (make_exposure(),),
        "answers": (make_answers([Answer(food=amount) for amount in (20, 30, 0, 50, 10)]),),
    } | differences
    return QuarterCells(**fields)


def make_inputs(**differences) -> AccountInputs:
    fields = {
        "quarters": (make_quarter(),),
        "jurisdictions": (JurisdictionSettings(code="A"), JurisdictionSettings(code="B")),
        "factors": load("2026-1"),
        "settings": MethodSettings(apply_ageing=False, apply_season=False),
    } | differences
    return AccountInputs(**fields)
