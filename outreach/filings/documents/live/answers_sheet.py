"""One row an answer in force, with what it counts for, as formulas."""

from collections.abc import Callable

from openpyxl import Workbook

from outreach.filings.documents.live.frozen import AnswerLine, Frozen
from outreach.filings.documents.live.grid import Grid, Value
from outreach.followup.packing import PERCENTS

# What was kept of the answer; the key of a column, and its heading.
KEPT = {
    "line": "Line (a random number)",
    "stratum": "Stratum",
    "jurisdiction": "Jurisdiction",
    "district": "District",
    "family": "Bin family",
    "days": "Days with a bin in the quarter",
    "food": "Food scraps a week, as reported",
    "food_unit": "in L or kg",
    "yard": "Yard trimmings a week, as reported",
    "yard_unit": "in L or kg",
    "browns": "Browns a week, as reported, L",
    "gap": "Months from answer to middle of the days",
    "asked": "Quarter asked about",
    "still": "Still composting (1 yes)",
    "food_given": "Food amount given (1 yes)",
    "yard_given": "Yard amount given (1 yes)",
    "browns_given": "Browns amount given (1 yes)",
    "food_trash": "Food to trash before, %",
    "food_composted": "Food composted before, %",
    "yard_trash": "Yard to trash before, %",
    "yard_composted": "Yard composted before, %",
    "is_new": "New to composting (1 yes)",
}
STEP_EVERY = 500
_SEASONED = (
    '*IF(yard_rule="index",INDEX(yard_index,filed_quarter)/IF({asked}=0,1,INDEX(yard_index,{asked})),1)'
)
# What is worked out of it: key, heading, formula. `w` is in household-weeks times kilograms a week.
WORKED_OUT = {
    "weeks": ("Weeks with a bin", "={days}/7"),
    "food_known": ("Food amount known", "={still}*{food_given}"),
    "food_told": (
        "Food, kg a week, as known",
        '=IF({food_known}=1,{food}*IF({food_unit}="L",food_density,1)*EXP(-quitting_rate*{gap}),0)',
    ),
    "food_kg": (
        "Food, kg a week",
        "=IF({food_known}=1,{food_told},IF({still}=1,INDEX(food_usual,{stratum}),0))",
    ),
    "yard_known": (
        "Yard amount known",
        '={still}*{yard_given}*IF(yard_rule="quarter",IF({asked}=filed_quarter,1,0),1)',
    ),
    "yard_told": (
        "Yard, kg a week, as known",
        '=IF({yard_known}=1,{yard}*IF({yard_unit}="L",yard_density,1)*EXP(-quitting_rate*{gap})'
        + _SEASONED
        + ",0)",
    ),
    "yard_kg": (
        "Yard, kg a week",
        "=IF({yard_known}=1,{yard_told},IF({still}=1,INDEX(yard_usual,{stratum}),0))",
    ),
    **{
        key: formula
        for material in ("food", "yard")
        for key, formula in {
            f"{material}_w": (f"{material.capitalize()}, kg", f"={{weeks}}*{{{material}_kg}}"),
            f"{material}_trash_said": (
                f"{material.capitalize()} to trash, share said",
                f'=IF({{{material}_trash}}="",0,{{{material}_trash}}/100)',
            ),
            f"{material}_composted_said": (
                f"{material.capitalize()} composted, share said",
                f'=IF({{{material}_composted}}="",0,{{{material}_composted}}/100)',
            ),
            f"{material}_before": (
                f"{material.capitalize()} share said at all",
                f'=IF({{{material}_trash}}="",0,1)',
            ),
            f"{material}_trash_w": (
                f"{material.capitalize()} from trash, kg",
                f"={{{material}_w}}*IF({{{material}_before}}=1,{{{material}_trash_said}},"
                f"INDEX({material}_trash_usual,{{stratum}}))",
            ),
            f"{material}_new_w": (
                f"{material.capitalize()} from trash, of those new to it, kg",
                f"={{{material}_trash_w}}*{{is_new}}",
            ),
            f"{material}_composted_w": (
                f"{material.capitalize()} composted before, kg",
                f"={{{material}_w}}*IF({{{material}_before}}=1,{{{material}_composted_said}},"
                f"INDEX({material}_composted_usual,{{stratum}}))",
            ),
        }.items()
    },
    "browns_told": ("Browns told, of those composting", "={still}*{browns_given}"),
    "browns_l": ("Browns, L", "={weeks}*{browns_told}*{browns}*EXP(-quitting_rate*{gap})"),
}


def write_answers(
    book: Workbook, frozen: Frozen, watch: Callable[[int, int], None]
) -> tuple[Grid, dict[int, tuple[int, int]]]:
    """The sheet, and between which rows each stratum's answers stand."""
    grid = Grid(book, "Answers", [*KEPT, *WORKED_OUT], wide=0)
    grid.sheet.freeze_panes = "C3"
    grid.put("Change what was reported in the columns up to 'New to composting'; the others follow.")
    grid.head(*KEPT.values(), *(heading for heading, _formula in WORKED_OUT.values()))
    rows: dict[int, tuple[int, int]] = {}
    for done, line in enumerate(frozen.answers(), start=1):
        row = grid.put(*_kept(line), *(grid.formula(template) for _heading, template in WORKED_OUT.values()))
        rows[line.group] = (rows.get(line.group, (row, row))[0], row)
        if done % STEP_EVERY == 0:
            watch(done, frozen.answer_count)
    return grid, rows


def _kept(line: AnswerLine) -> list[Value]:
    key, place = line.key, line.place
    return [
        line.number,
        line.group,
        place["jurisdiction"],
        place["district"],
        place["family"],
        line.days,
        _amount(line.food, key["food_by_weight"]),
        "kg" if key["food_by_weight"] else "L",
        _amount(line.yard, key["yard_by_weight"]),
        "kg" if key["yard_by_weight"] else "L",
        (line.browns or 0) / 10,
        key["gap_months"],
        key["quarter_asked"],
        key["still"],
        key["food_given"],
        key["yard_given"],
        0 if line.browns is None else key["browns_given"],
        *(None if key[name] < 0 else key[name] for name in reversed(PERCENTS)),
        int(key["prior"] == "new"),
    ]


def _amount(amount: int, by_weight: int) -> float:
    """Lines hold whole decagrams or decilitres."""
    return amount / 100 if by_weight else amount / 10
