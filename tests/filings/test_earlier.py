"""Which earlier filings a filing goes on from: its own, one of all places that names it, or none."""

import datetime

import pytest

from diversion.inputs import Quarter
from outreach.filings import computing, periods, submitting
from outreach.filings.earlier import EarlierFilings
from outreach.filings.gathering import Scope
from outreach.households.models import Household
from outreach.places.models import Jurisdiction
from tests.factories.followup import make_answer
from tests.factories.places import make_jurisdiction
from tests.factories.staff import make_member
from tests.filings.programmes import programme

EARLIER = Quarter(year=2025, quarter=2)
AT = datetime.datetime(2025, 11, 20, 12, tzinfo=datetime.UTC)
pytestmark = [pytest.mark.django_db, pytest.mark.postgres]


def submit(jurisdiction, quarter=EARLIER):
    act = submitting.Act(by=make_member(), at=AT, cut_off=AT.date())
    return submitting.submit(
        period=periods.calendar_quarter(quarter), scope=Scope(jurisdiction=jurisdiction), choices={}, act=act
    )


def bound(tonnes, name):
    return sum(one.landfill_bound_tonnes for one in tonnes if one.jurisdiction == name)


def filed_tonnes(filing, name):
    lines = filing.report["account"]["period"]["landfill_bound"]
    return sum(line["tonnes"] for line in lines if line["jurisdiction"] == name)


def test_one_of_them_goes_on_from_a_filing_of_all_jurisdictions():
    quillby, oldham = programme(), programme(jurisdiction=make_jurisdiction(name="Oldham Flats"))
    together = submit(None)

    tonnes, uncovered = EarlierFilings(Scope(jurisdiction=quillby)).tonnes(periods.whole(EARLIER))

    assert uncovered == {}
    assert bound(tonnes, "Quillby") == filed_tonnes(together, "Quillby") > 0
    assert bound(tonnes, oldham.name) == 0


def test_its_own_filing_goes_before_one_of_all_jurisdictions():
    quillby = programme()
    submit(None)
    household = quillby_household(quillby)
    make_answer(household=household, answered_on=datetime.date(2025, 6, 1), food_ml_per_week=40_000)
    own = submit(quillby)

    tonnes, _uncovered = EarlierFilings(Scope(jurisdiction=quillby)).tonnes(periods.whole(EARLIER))

    assert bound(tonnes, "Quillby") == filed_tonnes(own, "Quillby")


def quillby_household(jurisdiction):
    return Household.objects.filter(jurisdiction=jurisdiction).latest("pk")


def test_all_jurisdictions_go_on_from_the_filing_of_one_and_compute_the_other():
    quillby, oldham = programme(), programme(jurisdiction=make_jurisdiction(name="Oldham Flats"))
    own = submit(quillby)

    tonnes, uncovered = EarlierFilings(Scope(jurisdiction=None)).tonnes(periods.whole(EARLIER))

    assert oldham.name in uncovered[periods.whole(EARLIER)]
    assert "Quillby" not in uncovered[periods.whole(EARLIER)]
    assert bound(tonnes, "Quillby") == filed_tonnes(own, "Quillby") > 0


def test_a_place_added_after_the_filing_of_all_is_computed():
    programme()
    submit(None)
    added = programme(jurisdiction=make_jurisdiction(name="Newly Joined"))

    tonnes, uncovered = EarlierFilings(Scope(jurisdiction=added)).tonnes(periods.whole(EARLIER))

    assert (tonnes, uncovered) == ((), {periods.whole(EARLIER): {"Newly Joined"}})


def test_a_renamed_place_keeps_its_own_filing_under_its_new_name():
    quillby = programme()
    own = submit(quillby)
    Jurisdiction.objects.filter(pk=quillby.pk).update(name="Quillby Springs")
    quillby.refresh_from_db()

    tonnes, uncovered = EarlierFilings(Scope(jurisdiction=quillby)).tonnes(periods.whole(EARLIER))

    assert uncovered == {}
    assert bound(tonnes, "Quillby Springs") == filed_tonnes(own, "Quillby")


def test_late_answers_do_not_reach_a_quarter_that_was_filed_for_all():
    quillby = programme()
    together = submit(None)
    make_answer(
        household=quillby_household(quillby),
        answered_on=datetime.date(2025, 6, 1),
        food_ml_per_week=60_000,
        food_trash_percent=100,
        food_composted_percent=0,
    )

    # The year of Quillby starts in July, so the second quarter of 2025 lies before it.
    period = periods.calendar_quarter(Quarter(year=2025, quarter=3))
    so_far = periods.year_to_date(period, starts_month=7)
    scope = Scope(jurisdiction=quillby)
    inputs = computing.gather_inputs(period, so_far, scope=scope, cut_off=AT.date(), choices={})

    of_quarter = [one for one in inputs.period.earlier if one.quarter == EARLIER]
    assert bound(of_quarter, "Quillby") == filed_tonnes(together, "Quillby")
