"""How long households go on, as the filing says it in every document."""

import datetime
import io

import pytest
from openpyxl import load_workbook

from diversion.inputs import MethodSettings, Quarter
from outreach.filings import composing, method, periods, shown, submitting, verifying
from outreach.filings.documents.workbook import write_workbook
from outreach.filings.gathering import Scope
from outreach.filings.models import Filing
from outreach.filings.sections.persistence import NO_DAYS, NOBODY, how_long
from outreach.followup.models import Answer
from tests.factories.staff import make_member
from tests.filings.programmes import programme

pytestmark = pytest.mark.django_db
SECOND = Quarter(year=2025, quarter=2)
AT = datetime.datetime(2025, 8, 20, 12, tzinfo=datetime.UTC)
STOPPED_ON = datetime.date(2025, 2, 1)


def occasion_of(jurisdiction) -> composing.Occasion:
    return composing.compose(
        periods.calendar_quarter(SECOND),
        scope=Scope(jurisdiction=jurisdiction),
        cut_off=AT.date(),
        choices=method.choices_of(MethodSettings(), factor_set="2026-1"),
    )


def say_when(jurisdiction):
    """One of the four that stopped says when."""
    one = Answer.objects.filter(composting="stopped").earliest("pk")
    Answer.objects.filter(pk=one.pk).update(stopped_on=STOPPED_ON)
    return jurisdiction


def test_without_known_days_the_answers_alone_make_the_curve():
    section = how_long(occasion_of(programme()))

    assert [chart.key for chart in section.charts] == ["retention"]
    assert NO_DAYS in section.paragraphs
    assert [table.key for table in section.tables] == ["likely_active", "retention"]


def test_a_known_day_puts_the_second_curve_beside_the_first():
    section = how_long(occasion_of(say_when(programme())))

    assert [chart.key for chart in section.charts] == ["retention", "retention_followed"]
    # 16 answered after 8 months, 4 of them 'stopped': one in month 5, three taken at the middle, month 4.
    known = next(table for table in section.tables if table.key == "retention_followed")
    assert [(row[0], row[1].value) for row in known.rows] == [
        ("4", pytest.approx(13 / 16)),
        ("5", pytest.approx(12 / 16)),
    ]
    assert "3 of them did not say when" in section.paragraphs[1]
    active = next(table for table in section.tables if table.key == "likely_active")
    # All 24 took their bin in one month; the curves end at 12 of 16.
    assert [row[2].value for row in active.rows] == [pytest.approx(18), pytest.approx(18)]
    assert "24 households had a bin" in section.paragraphs[2]


def test_before_anybody_was_asked_the_section_says_so():
    assert how_long(occasion_of(programme(answers=0))).paragraphs == (NOBODY,)


def test_page_workbook_and_data_hold_both_curves_and_the_filing_verifies():
    jurisdiction = say_when(programme())
    act = submitting.Act(by=make_member(), at=AT, cut_off=AT.date())
    filing = submitting.submit(
        period=periods.calendar_quarter(SECOND), scope=Scope(jurisdiction=jurisdiction), choices={}, act=act
    )

    kept = Filing.objects.get(pk=filing.pk)
    report = shown.frozen(kept)
    page = shown.report_for_page(report)
    book = io.BytesIO()
    write_workbook(report, book)

    drawn = {chart.key for section in page.sections for chart in section.charts}
    assert {"retention", "retention_followed"} <= drawn
    assert {"Likely composting", "Still composting", "Still composting, known days"} <= set(
        load_workbook(book).sheetnames
    )
    assert kept.report["account"]["persistence"]["followed"]["curve"]["points"][0]["quits"] == 3
    assert kept.inputs["following"]["stopped_undated"] == 3
    assert verifying.verify(kept) == []


def test_a_filing_that_did_not_keep_the_followed_verifies_as_it_was():
    jurisdiction = programme()
    act = submitting.Act(by=make_member(), at=AT, cut_off=AT.date())
    filing = submitting.submit(
        period=periods.calendar_quarter(SECOND), scope=Scope(jurisdiction=jurisdiction), choices={}, act=act
    )
    del filing.inputs["following"], filing.report["account"]["persistence"]

    assert [one.where for one in verifying.verify(filing)] == ["digest of the inputs", "digest of the report"]
