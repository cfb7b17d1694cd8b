"""The frozen report in another language: its words translated phrase by phrase, its digits as they were frozen.

A filing keeps the English words that it was submitted with. Each sentence, heading and cell is matched against
templates whose translations are in the catalogue; what a template captures is taken over. What matches none keeps
the words that were filed. A template holds `{}` for words, which are translated in turn, and `{n}` for a number.
"""

import re
from collections.abc import Iterable
from dataclasses import replace
from functools import cache

from django.utils.dates import MONTHS
from django.utils.translation import get_language, gettext, override

from outreach.filings.documents import (
    phrases_of_checks,
    phrases_of_doubt,
    phrases_of_factors,
    phrases_of_figures,
    phrases_of_findings,
    phrases_of_money,
    phrases_of_quarters,
    phrases_of_working,
)
from outreach.filings.report import Cell, Chart, Number, Report, Section, Table

FILED_IN = "en"
PHRASES = tuple(
    phrase
    for module in (
        phrases_of_figures,
        phrases_of_quarters,
        phrases_of_doubt,
        phrases_of_checks,
        phrases_of_findings,
        phrases_of_money,
        phrases_of_working,
        phrases_of_factors,
    )
    for phrase in module.PHRASES
)
GAP = re.compile(r"(\{n?\})")
GAPS = {"{}": "(.+?)", "{n}": r"((?:under |over )?[\d−][\d,.]*)"}
SENTENCE_ENDS = re.compile(r"(?<=[.!?]) (?=[A-Z'\d])")
LIST_BREAKS = ("; ", ", ")
DAY = re.compile(r"(\d{1,2}) ([A-Z][a-z]+) (\d{4})")
DAYS = re.compile(r"(\d{1,2} [A-Z][a-z]+ \d{4}) to (\d{1,2} [A-Z][a-z]+ \d{4})")
RANGE = re.compile(r"((?:under |over )?[\d−][\d,.]*(?:\s%)?) to ((?:under |over )?[\d−][\d,.]*(?:\s%)?)")
WORDS_THEN_NUMBER = re.compile(r"(.*?\D) ((?:under |over )?[\d−][\d,.]*(?:\s%)?)(?: (t|short tons))?")
ENGLISH_MONTHS = {
    name: number
    for number, name in enumerate(
        (
            *("January", "February", "March", "April", "May", "June", "July"),
            *("August", "September", "October", "November", "December"),
        ),
        start=1,
    )
}


def in_language(report: Report, language: str) -> Report:
    """The report with its words in that language; in the language it was filed in, the report itself."""
    if language == FILED_IN:
        return report
    with override(language):
        return replace(
            report,
            title=worded(report.title),
            subtitle=worded(report.subtitle),
            summary=worded(report.summary),
            headlines=tuple(
                replace(
                    one,
                    number=_number(one.number),
                    unit=worded(one.unit),
                    interval=worded(one.interval),
                    words=worded(one.words),
                )
                for one in report.headlines
            ),
            sections=tuple(_section(one) for one in report.sections),
            made_from=_all(report.made_from),
        )


def worded(text: str) -> str:
    """One text of the report in the active language."""
    if (get_language() or FILED_IN).startswith(FILED_IN):
        return text
    return " ".join(_sentence(one) for one in SENTENCE_ENDS.split(text)) if text else text


def _sentence(text: str) -> str:
    whole = _phrase(text)
    if whole is not None:
        return whole
    if day := DAY.fullmatch(text):
        return _day(day)
    if limits := RANGE.fullmatch(text) or DAYS.fullmatch(text):
        return gettext("%(low)s to %(high)s") % {"low": worded(limits[1]), "high": worded(limits[2])}
    if named := WORDS_THEN_NUMBER.fullmatch(text):
        known = _phrase(named[1])
        unit = f" {worded(named[3])}" if named[3] else ""
        if known is not None:
            return f"{known} {worded(named[2])}{unit}"
    for mark in LIST_BREAKS:
        if mark in text:
            return mark.join(_sentence(one) for one in text.split(mark))
    return text


def _phrase(text: str) -> str | None:
    if text in _plain():
        return gettext(text)
    for pattern, template in _templates():
        if found := pattern.fullmatch(text):
            return _filled(gettext(template), found.groups())
    return None


def _filled(template: str, captured: Iterable[str]) -> str:
    rest = iter(captured)
    return GAP.sub(lambda _gap: worded(next(rest)), template)


@cache
def _plain() -> frozenset[str]:
    return frozenset(one for one in PHRASES if not GAP.search(one))


@cache
def _templates() -> tuple[tuple[re.Pattern[str], str], ...]:
    """Templates with their patterns, those with the most words of their own first."""
    templates = [one for one in PHRASES if GAP.search(one)]
    templates.sort(key=lambda one: len(GAP.sub("", one)), reverse=True)
    return tuple((_pattern(one), one) for one in templates)


def _pattern(template: str) -> re.Pattern[str]:
    return re.compile("".join(GAPS.get(one) or re.escape(one) for one in GAP.split(template)))


def _day(day: re.Match[str]) -> str:
    if day[2] not in ENGLISH_MONTHS:
        return day[0]
    month = str(MONTHS[ENGLISH_MONTHS[day[2]]]).lower()
    return gettext("%(day)s %(month)s %(year)s") % {"day": day[1], "month": month, "year": day[3]}


def _all(texts: Iterable[str]) -> tuple[str, ...]:
    return tuple(worded(one) for one in texts)


def _section(section: Section) -> Section:
    return replace(
        section,
        heading=worded(section.heading),
        paragraphs=_all(section.paragraphs),
        tables=tuple(_table(one) for one in section.tables),
        charts=tuple(_chart(one) for one in section.charts),
    )


def _table(table: Table) -> Table:
    columns = tuple(replace(one, heading=worded(one.heading), unit=worded(one.unit)) for one in table.columns)
    return replace(
        table,
        caption=worded(table.caption),
        columns=columns,
        rows=tuple(_row(row) for row in table.rows),
        total=_row(table.total) if table.total else None,
        note=worded(table.note),
    )


def _row(cells: tuple[Cell, ...]) -> tuple[Cell, ...]:
    return tuple(_number(cell) if isinstance(cell, Number) else worded(cell) for cell in cells)


def _number(number: Number) -> Number:
    """Its digits stay; only 'under' and 'over' are words."""
    return replace(number, printed=worded(number.printed))


def _chart(chart: Chart) -> Chart:
    return replace(
        chart,
        caption=worded(chart.caption),
        unit=worded(chart.unit),
        alt=worded(chart.alt),
        series=_all(chart.series),
        bars=tuple(replace(one, label=worded(one.label), printed=worded(one.printed)) for one in chart.bars),
    )
