"""The tonnes quarter by quarter: as filed for good, and with the settings of today worked out from frozen sums."""

import datetime

import pytest

from diversion.inputs import Quarter
from outreach.filings import periods, submitting
from outreach.filings.gathering import Scope
from outreach.filings.report import Number, Report
from outreach.households.models import Household
from tests.factories.followup import make_answer
from tests.factories.places import make_jurisdiction
from tests.factories.staff import make_member
from tests.filings.programmes import programme

pytestmark = pytest.mark.django_db
FIRST, SECOND = Quarter(year=2025, quarter=2), Quarter(year=2025, quarter=3)
AUGUST = datetime.datetime(2025, 8, 20, 12, tzinfo=datetime.UTC)
NOVEMBER = datetime.datetime(2025, 11, 20, 12, tzinfo=datetime.UTC)


def submit(quarter, jurisdiction, *, at, odds=2.0):
    return submitting.submit(
        period=periods.calendar_quarter(quarter),
        scope=Scope(jurisdiction=jurisdiction),
        choices={"odds": odds},
        act=submitting.Act(by=make_member(), at=at, cut_off=at.date()),
    )


def trend_of(filing):
    """Of each quarter six numbers: filed, from, to, and with today's factors, from, to."""
    report = Report.from_dict(filing.report)
    (table,) = [one for one in report.tables if one.key == "trend"]
    return {
        row[0]: tuple(cell.value if isinstance(cell, Number) else cell for cell in row[1:])
        for row in table.rows
    }


def kept_out(filing):
    figures = filing.report["account"]["period"]["figures"]
    return next(one for one in figures if (one["name"], one["stream"]) == ("landfill_bound", "both"))


def said(figure):
    return (figure["headline"]["value"], figure["said_lower"], figure["said_upper"])


def test_the_quarter_at_hand_has_the_figure_and_the_range_of_the_headline():
    filing = submit(FIRST, programme(), at=AUGUST)

    found = trend_of(filing)["2025-Q2"]

    assert found == pytest.approx((*said(kept_out(filing)), *said(kept_out(filing))), rel=1e-12)


def test_an_earlier_quarter_stands_as_filed_and_beside_it_under_the_assumption_of_today():
    place = programme()
    earlier = submit(FIRST, place, at=AUGUST, odds=1.0)

    found = trend_of(submit(SECOND, place, at=NOVEMBER, odds=4.0))["2025-Q2"]

    figure = kept_out(earlier)
    (at_four,) = [one["value"] for one in figure["at_odds"] if one["odds"] == 4]
    assert found[:3] == pytest.approx(said(figure), rel=1e-12)
    assert found[3] == pytest.approx(at_four, rel=1e-12)
    assert found[3] < found[0]


def test_what_was_entered_since_moves_neither_of_the_two():
    place = programme()
    earlier = submit(FIRST, place, at=AUGUST, odds=1.0)
    household = Household.objects.order_by("pk").last()
    late = datetime.date(2025, 6, 1)
    make_answer(household=household, answered_on=late, composting="yes", food_ml_per_week=60_000)

    found = trend_of(submit(SECOND, place, at=NOVEMBER, odds=1.0))["2025-Q2"]

    assert found == pytest.approx((*said(kept_out(earlier)), *said(kept_out(earlier))), rel=1e-12)


def test_a_quarter_that_only_a_filing_of_all_places_covers_is_as_filed_and_has_no_range():
    place = programme()
    programme(jurisdiction=make_jurisdiction(name="Oldham Flats"))
    submit(FIRST, None, at=AUGUST)

    value, lower, upper, *today = trend_of(submit(SECOND, place, at=NOVEMBER))["2025-Q2"]

    assert value > 0
    assert [lower, upper, *today] == [None] * 5


def test_a_quarter_that_nobody_filed_has_todays_value_alone():
    place = programme()

    *filed, value, lower, upper = trend_of(submit(SECOND, place, at=NOVEMBER))["2025-Q2"]

    assert filed == [None] * 3
    assert value > 0
    assert (lower, upper) == (None, None)


def test_the_chart_has_a_bar_for_each_number_of_the_table():
    place = programme()
    submit(FIRST, place, at=AUGUST, odds=1.0)
    filing = submit(SECOND, place, at=NOVEMBER, odds=4.0)

    (chart,) = [one for one in Report.from_dict(filing.report).charts if one.key == "trend"]

    drawn = {(bar.label, bar.series): (bar.value, bar.lower, bar.upper) for bar in chart.bars}
    table = {
        (quarter, series): numbers[3 * series : 3 * series + 3]
        for quarter, numbers in trend_of(filing).items()
        for series in (0, 1)
        if numbers[3 * series] is not None
    }
    assert drawn == table
    assert chart.series == ("as filed", "with today's factors")


def test_the_parts_of_the_waterfall_lead_from_the_whole_to_the_rest():
    report = Report.from_dict(submit(FIRST, programme(), at=AUGUST).report)
    by_key = {one.key: one.bars for one in report.charts}

    into_bins, before, elsewhere, bound, not_new, new = (bar.value for bar in by_key["measures"])
    avoided, given_off, net = (bar.value for bar in by_key["net"])

    assert into_bins + before + elsewhere == pytest.approx(bound, rel=1e-9)
    assert bound + not_new == pytest.approx(new, rel=1e-9, abs=1e-12)
    assert avoided + given_off == pytest.approx(net, rel=1e-9)
    assert given_off < 0
