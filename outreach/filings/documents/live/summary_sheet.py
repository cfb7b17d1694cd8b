"""The headline figures as formulas, beside what the filing printed."""

from openpyxl import Workbook

from diversion.figures import Figure
from outreach.filings.documents.live.counted_rows import write_counted
from outreach.filings.documents.live.frozen import Frozen
from outreach.filings.documents.live.grid import Formula, Grid
from outreach.filings.documents.live.strata_sheet import MATERIALS, MEASURES

COLUMNS = ("what", "unit", "headline", "filed", "difference", "alike", "nothing", "lower", "upper")
HEADINGS = (
    "Figure",
    "Unit",
    "Headline, recomputed here",
    "As filed",
    "Difference",
    "If the silent are like the answerers",
    "If the silent compost nothing",
    "Range to say aloud, from (as filed)",
    "to (as filed)",
)
MEASURE_UNIT, STREAM_WORDS = "t", {"food": "food scraps", "yard": "yard trimmings", "both": "both"}
HEADLINE = "={nothing}+({alike}-{nothing})/(still_composting+headline_odds*(1-still_composting))"

# Browns have a share still composting of their own: what that makes at the odds of the headline.
OWN_SHARE = (
    "browns_headline-browns_nothing"
    "-(browns_alike-browns_nothing)/(still_composting+headline_odds*(1-still_composting))"
)


def start_summary(book: Workbook) -> Grid:
    """The first sheet; its rows are written last."""
    return Grid(book, "Summary", COLUMNS, shown_as="#,##0.000")


def write_summary(grid: Grid, frozen: Frozen) -> None:
    filing = frozen.filing
    grid.put(filing.title)
    grid.put("Every headline below is worked out in this workbook from the answers and the factors in it.")
    grid.put("It is an estimate from what households told the programme, not a measurement.")
    grid.put()
    grid.head(*HEADINGS)
    for measure, (words, _column) in MEASURES.items():
        for stream in (*MATERIALS, "both"):
            materials = MATERIALS if stream == "both" else (stream,)
            name = f"{measure}_{stream}" if stream != "both" else measure
            sums = [
                "+".join(f"SUM(t_{measure}_{material}_{whose})" for material in materials)
                for whose in ("all", "answered")
            ]
            _figure(
                grid, frozen, (measure, stream), (_measure_words(measure, words, stream), MEASURE_UNIT), sums
            )
            grid.name(f"filed_{name}", "headline", grid.row)
    _climate(grid, frozen)
    grid.put()
    _in_short_tons(grid)
    write_counted(grid, frozen)


def _measure_words(measure: str, words: str, stream: str) -> str:
    kept = {"landfill_bound": "Kept out of landfill", "additional": "Kept out of landfill, additional"}
    return f"{kept.get(measure, words)}: {STREAM_WORDS[stream]}"


def _figure(
    grid: Grid, frozen: Frozen, of: tuple[str, str], what: tuple[str, str], sums: list[str], beside: str = ""
) -> None:
    """A row; `beside` is what the headline takes besides its ratio of all and answered."""
    figure = _filed(frozen, *of)
    grid.put(
        *what,
        grid.formula(HEADLINE + beside),
        figure.headline.value,
        grid.formula("={headline}-{filed}"),
        Formula("=" + sums[0]),
        Formula("=" + sums[1]),
        figure.said_lower,
        figure.said_upper,
    )


def _climate(grid: Grid, frozen: Frozen) -> None:
    per_tonne = "(process_ch4*gwp_ch4+process_n2o*gwp_n2o)/kg_per_tonne"
    methane, process, net = [], [], []
    for whose, browns in (("all", "browns_alike"), ("answered", "browns_nothing")):
        kg = "+".join(f"SUM(t_methane_{material}_{whose})" for material in MATERIALS)
        newly = "+".join(
            f"SUM(t_gross_{material}_{whose})-SUM(t_composted_before_{material}_{whose})"
            for material in MATERIALS
        )
        methane.append(kg)
        process.append(f"({newly}+{browns})*{per_tonne}")
        net.append(f"({kg})*gwp_ch4/kg_per_tonne-({newly}+{browns})*{per_tonne}")
    for name, words, unit, sums, beside in (
        ("methane_lifetime", "Methane avoided over its lifetime", "kg CH4", methane, ""),
        ("process", "Emissions of composting itself", "t CO2e", process, f"+({OWN_SHARE})*{per_tonne}"),
        ("net", "Net warming avoided", "t CO2e", net, f"-({OWN_SHARE})*{per_tonne}"),
    ):
        _figure(grid, frozen, (name, "both"), (words, unit), sums, beside)
        grid.name(f"filed_{name}", "headline", grid.row)


def _in_short_tons(grid: Grid) -> None:
    grid.put(
        "Kept out of landfill, in short tons of 2000 lb",
        "short tons",
        Formula("=filed_landfill_bound*kg_per_tonne/kg_per_short_ton"),
    )


def _filed(frozen: Frozen, name: str, stream: str) -> Figure:
    return next(
        figure
        for figure in frozen.estimation.figures
        if (str(figure.name), str(figure.stream)) == (name, stream)
    )
