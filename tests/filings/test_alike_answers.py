"""A quarter whose answers are all alike is filed without an interval, and says why."""

import datetime

import pytest

from diversion.inputs import MethodSettings, Quarter
from outreach.filings import composing, method, periods
from outreach.filings.gathering import Scope
from outreach.filings.report import Number, Report, as_text
from outreach.followup.models import Answer
from tests.filings.programmes import programme

pytestmark = pytest.mark.django_db
WHY = "All answers are alike; no spread can be measured"


def report_of(jurisdiction) -> Report:
    occasion = composing.compose(
        periods.calendar_quarter(Quarter(year=2025, quarter=2)),
        scope=Scope(jurisdiction=jurisdiction),
        cut_off=datetime.date(2025, 8, 14),
        choices=method.choices_of(MethodSettings(), factor_set="2026-1"),
    )
    return composing.report_of(occasion)


def test_no_interval_of_no_width_is_printed_and_the_reason_is():
    here = programme(households=24, answers=12)
    Answer.objects.update(composting="yes", food_ml_per_week=3000, yard_ml_per_week=10_000)

    report = report_of(here)

    assert WHY in report.summary
    assert {line.interval for line in report.headlines} == {"no interval"}
    drawn = next(table for table in report.tables if table.key == "draws")
    for row in drawn.rows:
        assert [cell.value for cell in row[-2:] if isinstance(cell, Number)] == [None, None]
    planning = next(section for section in report.sections if section.key == "planning")
    assert WHY in planning.paragraphs[0]
    assert "NaN" not in as_text(report.to_dict())
