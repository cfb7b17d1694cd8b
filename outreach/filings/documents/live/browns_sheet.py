"""Browns of the whole programme at once: the mean of those who told, times the share that still composts."""

from openpyxl import Workbook

from outreach.filings.documents.live.grid import Formula, Grid

_RATE = "browns_share*browns_mean*browns_density/kg_per_tonne"
ROWS = (
    ("Households composting that told how much", "browns_told", "answers", "=SUM({browns_told})"),
    ("Litres a household-week, of those", "browns_mean", "L a week",
     '=IF(browns_told>=fewest_answers,SUM({browns_l})/SUMPRODUCT({weeks},{browns_told}),0)'),
    ("Share of all answers still composting, by household-weeks", "browns_share", "share",
     "=SUMPRODUCT({weeks},{still})/SUM({weeks})"),
    ("Tonnes, if the silent are like the answerers", "browns_alike", "t", f"=SUM(stratum_exposed)*{_RATE}"),
    ("Tonnes, if the silent compost nothing", "browns_nothing", "t", f"=SUM({{weeks}})*{_RATE}"),
    ("Tonnes at the odds of the headline", "browns_headline", "t",
     "=browns_nothing+(browns_alike-browns_nothing)/(browns_share+headline_odds*(1-browns_share))"),
)  # fmt: skip


def write_browns(book: Workbook, answers: Grid, rows: dict[int, tuple[int, int]]) -> None:
    """Six rows, each with a name that the summary uses."""
    grid = Grid(book, "Browns", ["what", "value", "name", "unit"], shown_as="#,##0.0000")
    grid.put("Browns emit in the bin and are credited nothing; where too few told, they count as 0.")
    grid.head("What", "Value", "Name in formulas", "Unit")
    first, last = min(at for at, _to in rows.values()), max(to for _at, to in rows.values())
    spans = {key: answers.span(key, first, last) for key in answers.letters}
    for words, name, unit, formula in ROWS:
        row = grid.put(words, Formula(formula.format(**spans)), name, unit)
        grid.name(name, "value", row)
