"""Money in a filing: sums done on paper, shares that add up, what one place may count, in every document."""

import datetime
import io

import openpyxl
import pytest
from pypdf import PdfReader

from outreach.filings import costing, money_again, verifying
from outreach.filings.documents.files import WRITERS
from outreach.filings.report import Report
from tests.factories.bins import make_bin_model, make_handout, make_order, make_stay
from tests.factories.funding import make_cost, make_funding_source, make_hours, make_line
from tests.factories.households import make_household
from tests.factories.places import make_jurisdiction
from tests.factories.workshops import make_workshop
from tests.filings.programmes import programme
from tests.filings.test_submitting import submit

pytestmark = pytest.mark.django_db
FIRST, LAST = datetime.date(2025, 4, 1), datetime.date(2025, 6, 30)
DAY = datetime.date(2025, 5, 9)


def between(jurisdiction=None):
    return costing.money_between(FIRST, LAST, jurisdiction=jurisdiction)


@pytest.fixture
def two_bins():
    """Two bins of an order at $40.00 each; one household paid $15.00. Cost: 80.00 - 15.00 = 65.00."""
    place, model = make_jurisdiction(name="Quillby"), make_bin_model(unit_cost_cents=9999)
    order = make_order(bin_model=model, unit_price_cents=4000)
    for copay in (1500, 0):
        household = make_household(jurisdiction=place)
        make_handout(household=household, bin_model=model, order=order, copay_cents=copay, handed_on=DAY)
        make_stay(household=household, from_day=DAY.toordinal())
    return place


def test_bins_cost_what_their_order_cost_less_the_copay(two_bins):
    its = between()

    assert (its.bins.households, its.bins.cents, its.bins.copay_cents) == (2, 8000, 1500)
    assert its.cost_cents == 6500
    assert (its.cost_until_cents, its.in_use) == (6500, 2)


def test_other_costs_join_by_kind_and_days_outside_the_period_do_not(two_bins):
    venue, printing = make_line(kind="venue"), make_line(kind="printing")
    make_cost((venue, 3000), (printing, 1000), spent_on=DAY)
    make_cost((venue, 500), spent_on=datetime.date(2025, 3, 31))

    its = between()

    assert dict(its.other_by_kind) == {"venue": 3000, "printing": 1000}
    assert its.cost_cents == 6500 + 4000
    assert its.cost_until_cents == 6500 + 4000 + 500


def test_parts_of_a_shared_cost_are_shown_and_sum_to_the_whole():
    city, county = make_line(kind="venue"), make_line(kind="venue")
    make_cost((city, 3333), (county, 6667), what_for="Hall")
    make_cost((city, 800), what_for="Only the city's")

    its = between()

    assert {one.what_for for one in its.shared} == {"Hall"}
    assert sum(one.cents for one in its.shared) == 10_000 == its.shared[0].whole_cents
    assert sum(cents for _kind, cents in its.other_by_kind) == 10_800


def test_one_place_counts_its_own_workshops_and_households_only(two_bins):
    elsewhere = make_jurisdiction(name="Ferrow")
    line = make_line(kind="venue")
    make_cost((line, 700), workshop=make_workshop(jurisdiction=two_bins, held_on=DAY))
    make_cost((line, 900), workshop=make_workshop(jurisdiction=elsewhere, held_on=DAY))
    make_cost((line, 50))

    own, other, every = between(two_bins), between(elsewhere), between()

    assert (own.cost_cents, other.cost_cents) == (6500 + 700, 900)
    assert every.cost_cents == own.cost_cents + other.cost_cents + 50
    assert own.sources == ()


def test_hours_are_worth_their_rate_and_say_where_it_is_published():
    source = make_funding_source(match_required_cents=20_000)
    make_hours((source, 90), minutes=90, given_on=DAY)

    (its,) = between().in_kind

    # An hour and a half at $30.00.
    assert (its.minutes, its.cents) == (90, 4500)
    assert its.published_in == "An invented table of wages"
    assert between().sources[0].match_missing_cents == 15_500


def _filed():
    place = programme()
    line = make_line(kind="venue", source=make_funding_source(amount_cents=100_000), amount_cents=100_000)
    workshop = make_workshop(jurisdiction=place, held_on=DAY, state="closed")
    make_cost((line, 12_345), workshop=workshop, spent_on=DAY)
    make_hours(minutes=60, workshop=workshop, given_on=DAY)
    return submit(place), workshop


def test_money_is_frozen_and_stands_on_the_page_in_pdf_and_workbook(as_coordinator):
    filing, _workshop = _filed()
    said = Report.from_dict(filing.report)

    page = as_coordinator.get(filing.get_absolute_url()).content.decode()
    made = {ending: io.BytesIO() for ending in ("pdf", "xlsx")}
    for ending, target in made.items():
        WRITERS[ending](said, target)
    book = openpyxl.load_workbook(made["xlsx"])

    assert "123.45" in page
    assert "What the period cost" in page
    assert any("123.45" in one.extract_text() for one in PdfReader(made["pdf"]).pages)
    assert [123.45 in [cell.value for cell in row] for row in book["Costs"].iter_rows()].count(True) == 2
    assert {"In kind", "Cost of one"} <= set(book.sheetnames)


def test_a_cost_entered_later_changes_nothing_that_was_filed():
    filing, workshop = _filed()

    make_cost((make_line(kind="staff"), 99_900), workshop=workshop, spent_on=DAY)

    assert "999.00" not in str(type(filing).objects.get(pk=filing.pk).report)


def test_a_tonne_has_the_range_of_the_tonnes_turned_round():
    filing, _workshop = _filed()
    report = Report.from_dict(filing.report)
    (table,) = (one for one in report.tables if one.key == "unit_costs")
    bound = next(
        one
        for one in filing.report["account"]["period"]["figures"]
        if (one["name"], one["stream"]) == ("landfill_bound", "both")
    )

    what, cost, ranged = table.rows[-1]

    assert "kept out of landfill" in what
    assert cost.value == pytest.approx(123.45 / bound["headline"]["value"], abs=0.005)
    low, high = (float(one.replace(",", "")) for one in ranged.split(" to "))
    assert low == pytest.approx(123.45 / bound["said_upper"], abs=0.005)
    assert high == pytest.approx(123.45 / bound["said_lower"], abs=0.005)


def test_where_nothing_is_known_of_money_the_filing_says_nothing_of_it():
    filing = submit(programme(households=2, answers=0))

    assert "money" not in {one["key"] for one in filing.report["sections"]}


def test_money_is_computed_again_from_what_was_filed(two_bins):
    """65.00 for two bins and 40.00 for a hall that two sources pay: 105.00; the rest follows."""
    city, county = make_line(kind="venue", amount_cents=10_000), make_line(kind="venue")
    make_cost((city, 3000), (county, 1000), spent_on=DAY)
    make_hours((city.source, 90), minutes=150, given_on=DAY)
    filing = submit(None)

    found = {one.where: (one.filed, one.found) for one in money_again.amounts(filing)}

    assert found["money.costs.total"] == ("105.00", "105.00")
    assert all(filed == again for filed, again in found.values())
    assert {where.split(".")[1] for where in found} >= {"costs", "sources", "in_kind", "shared_costs"}
    assert verifying.verify(filing) == []


@pytest.mark.parametrize("key", ["costs", "sources", "in_kind", "shared_costs"])
def test_an_amount_that_does_not_follow_is_found(two_bins, key):
    line = make_line(kind="venue", amount_cents=10_000)
    make_cost((line, 3000), (make_line(kind="venue"), 1000), spent_on=DAY)
    make_hours((line.source, 90), minutes=150, given_on=DAY)
    filing = submit(None)
    (table,) = (
        one for section in filing.report["sections"] for one in section["tables"] if one["key"] == key
    )
    row = table["total"] if key == "costs" else table["rows"][0]
    cell = row[{"costs": 1, "sources": 5, "in_kind": 3, "shared_costs": 4}[key]]
    cell["printed"] = "1.23"

    assert f"money.{key}" in {".".join(one.where.split(".")[:2]) for one in verifying.verify(filing)}


def test_the_cost_of_a_tonne_is_computed_again():
    place = programme()
    make_cost((make_line(kind="venue"), 4000), spent_on=DAY)
    filing = submit(None)

    found = {one.where: (one.filed, one.found) for one in money_again.amounts(filing)}

    filed, again = found["money.unit_costs.tonne"]
    assert filed == again != "–"
    assert found["money.unit_costs.range"][0] == found["money.unit_costs.range"][1]
    assert place.pk
