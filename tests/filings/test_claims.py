"""What would over-claim is found in the records, named in the filing, and gone once it is mended."""

import datetime

import pytest

from diversion.inputs import Quarter
from outreach.bins import ledger
from outreach.filings import composing, periods
from outreach.filings.gathering import Scope
from outreach.workshops.models import Workshop
from tests.factories.bins import make_bin_model, make_stock_place
from tests.factories.places import make_jurisdiction
from tests.factories.staff import make_member
from tests.factories.workshops import make_workshop
from tests.filings.programmes import programme

pytestmark = pytest.mark.django_db
QUARTER = Quarter(year=2025, quarter=2)
DAY = datetime.date(2025, 5, 9)
AT = datetime.datetime(2025, 5, 9, 18, tzinfo=datetime.UTC)


def codes(jurisdiction):
    occasion = composing.compose(
        periods.calendar_quarter(QUARTER),
        scope=Scope(jurisdiction=jurisdiction),
        cut_off=datetime.date(2025, 8, 14),
        choices={},
    )
    return {one.code for one in occasion.findings}, composing.report_of(occasion)


def test_a_workshop_that_was_not_closed_is_named_until_it_is():
    jurisdiction = programme()
    make_workshop(jurisdiction=jurisdiction, held_on=DAY, state="held")

    before, report = codes(jurisdiction)
    Workshop.objects.update(state="closed")
    after, _ = codes(jurisdiction)

    assert "workshop-not-closed" in before - after
    table = next(one for one in report.tables if one.key == "findings")
    assert any("9 May 2025" in str(row[0]) for row in table.rows)


def test_bins_that_moved_uncounted_are_named_until_a_shelf_is_counted_even_if_it_agrees():
    jurisdiction, model, store = programme(), make_bin_model(), make_stock_place()
    ledger.receive(bin_model=model, quantity=5, to_place=store, received_on=DAY, by=make_member(), at=AT)

    before, _ = codes(jurisdiction)
    ledger.count(bin_model=model, quantity=5, place=store, counted_on=DAY, by=make_member(), at=AT)
    after, _ = codes(jurisdiction)

    assert "stock-not-counted" in before - after


def test_few_answers_are_named():
    few, _ = codes(programme(households=24, answers=16))
    silent, _ = codes(
        programme(households=30, answers=5, jurisdiction=make_jurisdiction(name="Silent Falls"))
    )

    assert "few-answers" in few
    assert "few-answered" not in few
    assert "few-answered" in silent
