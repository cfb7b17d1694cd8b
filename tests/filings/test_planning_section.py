"""How to be surer: what the filing says of more answers and of the silent."""

import datetime
from dataclasses import fields, replace

import pytest

from diversion import account_planning
from diversion.cells import AnswerCell
from diversion.figures import Measure
from diversion.inputs import MethodSettings, Quarter
from outreach.filings import composing, computing, method, periods
from outreach.filings.gathering import Scope
from outreach.filings.report import Number, Section
from outreach.filings.sections import planning
from tests.filings.programmes import programme

pytestmark = pytest.mark.django_db
AMOUNT_SUMS = [
    one.name for one in fields(AnswerCell) if one.name.startswith("days_") and one.name != "days_sq"
]
SECOND = Quarter(year=2025, quarter=2)


def occasion_of(**size) -> composing.Occasion:
    return composing.compose(
        periods.calendar_quarter(SECOND),
        scope=Scope(jurisdiction=programme(**size)),
        cut_off=datetime.date(2025, 8, 14),
        choices=method.choices_of(MethodSettings(), factor_set="2026-1"),
    )


def table_of(section: Section, key: str):
    return next(table for table in section.tables if table.key == key)


def values_of(row) -> list:
    return [cell.value for cell in row if isinstance(cell, Number)]


def test_the_section_stands_in_the_report_after_how_sure():
    report = composing.report_of(occasion_of())

    keys = [section.key for section in report.sections]
    assert keys[keys.index("uncertainty") + 1] == "planning"


def test_more_answers_are_named_by_stratum_and_never_exceed_the_unanswered():
    occasion = occasion_of(households=200, answers=16)

    section = planning.answers_wanted(occasion)

    plan = account_planning.answers_wanted(occasion.inputs.period, wanted_half_width=0.15)
    table = table_of(section, "answers_wanted")
    assert plan.reachable
    assert plan.answers > 0
    assert f"{plan.answers} more" in section.paragraphs[0]
    assert values_of(table.total) == [plan.answers, 184]
    assert [row[0] for row in table.rows] == [name for name, _ in plan.more]
    assert all(more <= unanswered for more, unanswered in map(values_of, table.rows))
    assert "stay as doubtful" in section.paragraphs[1]


def test_chasing_the_silent_narrows_the_range_the_more_are_chased():
    occasion = occasion_of(households=200, answers=16)

    section = planning.answers_wanted(occasion)

    rows = [values_of(row) for row in table_of(section, "silent_chased").rows]
    assert [row[0] for row in rows] == [20, 50, 100]
    assert [row[3] for row in rows] == sorted(row[3] for row in rows)
    headline = occasion.accounts.period.figure(Measure.LANDFILL_BOUND).headline.value
    assert all(low < headline < high for _, low, high, _ in rows)
    assert "184 of the households asked have not answered" in section.paragraphs[2]


def test_fewer_silent_than_the_smallest_subsample_are_chased_whole():
    rows = table_of(planning.answers_wanted(occasion_of(households=24, answers=16)), "silent_chased").rows

    ((chased, low, high, settled),) = map(values_of, rows)
    assert (chased, settled) == (8, 1)
    assert low == pytest.approx(high)


def test_where_everybody_answered_nobody_is_called():
    section = planning.answers_wanted(occasion_of(households=16, answers=16))

    assert section.tables == ()
    assert "Everybody answered" in section.paragraphs[0]
    assert len(section.paragraphs) == 2


def test_without_an_estimate_the_section_says_why():
    occasion = occasion_of(households=10, answers=3)

    section = planning.answers_wanted(occasion)

    assert section.paragraphs == (occasion.accounts.period.no_estimate_reason,)
    assert "too few" in section.paragraphs[0]
    assert section.tables == ()


def test_where_everybody_stopped_there_is_no_spread_to_plan_with():
    occasion = occasion_of(households=30, answers=20)
    stopped = [replace(cells, answers=_stopped(cells.answers)) for cells in occasion.inputs.period.quarters]
    period = replace(occasion.inputs.period, quarters=tuple(stopped))
    inputs = replace(occasion.inputs, period=period)

    section = planning.answers_wanted(replace(occasion, inputs=inputs, accounts=computing.compute(inputs)))

    assert "Gather a first round" in section.paragraphs[0]
    assert section.tables == ()


def _stopped(answers):
    nothing = dict.fromkeys(AMOUNT_SUMS, 0)
    return tuple(replace(cell, still_composting=False, **nothing) for cell in answers)
