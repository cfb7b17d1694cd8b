"""A filing for the screen: its frozen report with the charts drawn, its steps, its lines."""

from dataclasses import dataclass
from typing import Any

from django.core.paginator import Page, Paginator
from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

from diversion.rounding import printed
from outreach.bins.models import BinModel
from outreach.filings import gather_sql
from outreach.filings.charts import svg_of
from outreach.filings.models import Filing, FilingLine
from outreach.filings.report import Bar, Chart, Headline, Report, Table
from outreach.filings.sections.parts import BANDS

LINES_ON_A_PAGE = 50
# Long tables that stand on the working page instead of the filing's own.
WORKING_SECTIONS = ("strata", "method", "factors")
FAMILY_WORDS = dict(BinModel.Family.choices)


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnChart:
    """A chart as SVG, with the rows of its table."""

    key: str
    caption: str
    drawing: SafeString
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ShownSection:
    """A section of the report as the page lays it out."""

    key: str
    heading: str
    paragraphs: tuple[str, ...]
    tables: tuple[Table, ...]
    charts: tuple[DrawnChart, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ShownReport:
    """A report whose charts are drawn."""

    title: str
    subtitle: str
    summary: str
    headlines: tuple[Headline, ...]
    sections: tuple[ShownSection, ...]
    made_from: tuple[str, ...]


def frozen(filing: Filing) -> Report:
    return Report.from_dict(filing.report)


def report_for_page(report: Report) -> ShownReport:
    return ShownReport(
        title=report.title,
        subtitle=report.subtitle,
        summary=report.summary,
        headlines=report.headlines,
        sections=tuple(
            ShownSection(
                key=section.key,
                heading=section.heading,
                paragraphs=section.paragraphs,
                tables=section.tables,
                charts=tuple(drawn(chart) for chart in section.charts),
            )
            for section in report.sections
        ),
        made_from=report.made_from,
    )


def drawn(chart: Chart) -> DrawnChart:
    has_intervals = any(bar.lower is not None for bar in chart.bars)
    columns = ("", chart.unit, *((_("from"), _("to")) if has_intervals else ()))
    return DrawnChart(
        key=chart.key,
        caption=chart.caption,
        drawing=svg_of(chart),
        columns=columns,
        rows=tuple(
            (_label(chart, bar), bar.printed, *(_limits(bar.lower, bar.upper) if has_intervals else ()))
            for bar in chart.bars
        ),
    )


def _label(chart: Chart, bar: Bar) -> str:
    return f"{bar.label}, {chart.series[bar.series]}" if chart.series else bar.label


def _limits(lower: float | None, upper: float | None) -> tuple[str, str]:
    return printed(lower), printed(upper)


def steps_of(filing: Filing) -> list[dict[str, str]]:
    """The steps of the filed figure in order, for the working piece."""
    return [
        {
            "words": step["title"] if step["applied"] else f"{step['title']} (not applied)",
            "formula": step["formula"],
            "number": "",
        }
        for step in filing.report["account"]["period"]["working"]["steps"]
    ]


@dataclass(frozen=True, slots=True, kw_only=True)
class ShownLine:
    """One household's line in words."""

    number: int
    words: str
    days: int
    food_in_words: str
    yard_in_words: str


def lines_page(filing: Filing, number: str | None) -> "Page[ShownLine]":
    """A page of the lines behind the filed period."""
    page: Page[Any] = Paginator(filing.period_lines, LINES_ON_A_PAGE).get_page(number)
    page.object_list = [_line(line) for line in page.object_list]
    return page


def _line(line: FilingLine) -> ShownLine:
    key = line.key
    family = str(FAMILY_WORDS[gather_sql.FAMILIES[key["family_code"]]])
    if not key["answered"]:
        answer = "not yet asked" if line.unasked else "no answer in force"
    else:
        still = "still composting" if key["still"] else "stopped"
        answer = f"{still}, answered about {key['gap_months']} months away"
    return ShownLine(
        number=line.number,
        words=f"{family}, {BANDS[key['band']]}; {answer}",
        days=line.days,
        food_in_words=_amount(line.food, key, "food"),
        yard_in_words=_amount(line.yard, key, "yard"),
    )


def _amount(amount: int, key: dict[str, Any], material: str) -> str:
    if not (key["answered"] and key[f"{material}_given"]):
        return "–"
    # Lines hold whole decagrams or decilitres.
    return f"{amount / 100:.2f} kg" if key[f"{material}_by_weight"] else f"{amount / 10:.1f} L"
