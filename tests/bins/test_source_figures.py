"""What a source bought, handed out and still has, and what that cost. Every expectation is added up by hand."""

import datetime

import pytest
from django.urls import reverse

from outreach.bins import handing_out, ledger, source_figures
from outreach.bins.models import StockPlace
from tests.factories.bins import make_bin_model, make_order, make_stock_place
from tests.factories.funding import make_cost, make_funding_source, make_line
from tests.factories.households import make_household
from tests.factories.places import make_jurisdiction
from tests.factories.staff import make_member

pytestmark = [pytest.mark.django_db, pytest.mark.postgres]
UTC = datetime.UTC
AT = datetime.datetime(2025, 7, 1, 18, tzinfo=UTC)
FIRST, LAST = datetime.date(2025, 4, 1), datetime.date(2025, 6, 30)
MARCH, APRIL, MAY = datetime.date(2025, 3, 1), datetime.date(2025, 4, 5), datetime.date(2025, 5, 9)


@pytest.fixture
def store():
    return make_stock_place()


@pytest.fixture
def model():
    return make_bin_model(unit_cost_cents=4500)


@pytest.fixture
def by():
    return make_member()


def received(store, model, quantity, on, **order):
    facts = {"bin_model": model, "quantity": quantity, "ordered_on": on, "due_on": on}
    made = make_order(**facts | order)
    ledger.receive(
        bin_model=model, order=made, quantity=quantity, to_place=store, received_on=on, by=None, at=AT
    )
    return made


def give(store, model, by, on, **facts):
    facts.setdefault("household", make_household())
    return handing_out.hand_out(bin_model=model, handed_on=on, from_place=store, by=by, at=AT, **facts)


def test_a_quarter_of_a_grant(store, model, by):
    """3 bins at $40 came in March, 4 at $50 in May, all of the grant. One went out in March; in the quarter 2 at $40
    and 1 at $50, with co-pays of $10 and $5: $130 less $15. Flyers for $60: $175 for 3 households, $58.33 each.
    """
    grant = make_funding_source()
    received(store, model, 3, MARCH, unit_price_cents=4000, funding_source=grant)
    received(store, model, 4, MAY, unit_price_cents=5000, funding_source=grant)
    give(store, model, by, MARCH)
    give(store, model, by, APRIL, copay_cents=1000)
    give(store, model, by, MAY, copay_cents=500)
    give(store, model, by, MAY)
    make_cost((make_line(source=grant), 6000), (make_line(), 4000), spent_on=MAY)

    figures = source_figures.figures_of(grant, FIRST, LAST)

    bins = figures.bins
    assert (bins.ordered, bins.bought, bins.bought_cents) == (4, 4, 20_000)
    assert (bins.handed_out, bins.handed_out_cents, bins.copay_cents, bins.net_cents) == (
        3,
        13_000,
        1500,
        11_500,
    )
    assert (bins.households, bins.in_stock, bins.in_use) == (3, 3, 4)
    assert (figures.other_cents, figures.cost_cents, figures.per_household_cents) == (6000, 17_500, 5833)
    # Since it began: $170 less $15 and $60, for 4 bins in use.
    assert figures.per_bin_in_use_cents == 5375
    assert figures.money.spent_until_cents == 32_000 + 6000


def test_bins_of_another_source_are_its_own(store, model, by):
    grant, city = make_funding_source(), make_funding_source()
    received(store, model, 1, MARCH, unit_price_cents=4000, funding_source=grant)
    received(store, model, 1, MARCH + datetime.timedelta(days=1), unit_price_cents=6000, funding_source=city)
    for _ in range(2):
        give(store, model, by, MAY)

    of_both = [source_figures.bin_figures(source, FIRST, LAST) for source in (grant, city)]

    assert [(bins.handed_out, bins.handed_out_cents) for bins in of_both] == [(1, 4000), (1, 6000)]


def test_the_usual_cost_stands_in_for_a_price_and_a_bin_without_either_is_said(store, by):
    grant = make_funding_source()
    for usual in (4500, None):
        model = make_bin_model(unit_cost_cents=usual)
        received(store, model, 1, MARCH, funding_source=grant)
        give(store, model, by, MAY)

    bins = source_figures.bin_figures(grant, FIRST, LAST)

    assert (bins.handed_out, bins.handed_out_cents, bins.without_price) == (2, 4500, 1)


def test_a_bin_that_came_back_to_the_shelf_has_cost_nothing_yet(store, model, by):
    grant = make_funding_source()
    received(store, model, 2, MARCH, unit_price_cents=4000, funding_source=grant)
    back, scrapped = give(store, model, by, APRIL), give(store, model, by, APRIL)
    for handout, place in ((back, store), (scrapped, StockPlace.objects.end("scrap"))):
        handing_out.take_back(handout=handout, to_place=place, taken_back_on=MAY, by=by, at=AT)

    bins = source_figures.bin_figures(grant, FIRST, LAST)

    assert (bins.handed_out, bins.handed_out_cents, bins.in_stock, bins.in_use) == (1, 4000, 1, 0)


def test_bins_written_off_are_bought_and_neither_in_stock_nor_handed_out(store, model, by):
    grant = make_funding_source()
    received(store, model, 3, MARCH, unit_price_cents=4000, funding_source=grant)
    ledger.write_off(bin_model=model, quantity=1, place=store, written_off_on=APRIL, by=by, at=AT)
    give(store, model, by, MAY)

    bins = source_figures.bin_figures(grant, None, LAST)

    assert (bins.bought, bins.handed_out, bins.in_stock) == (3, 1, 1)


def test_a_bin_that_was_replaced_is_no_longer_in_use(store, model, by):
    grant = make_funding_source()
    received(store, model, 2, MARCH, unit_price_cents=4000, funding_source=grant)
    broken = give(store, model, by, APRIL)
    handing_out.replace(handout=broken, from_place=store, replaced_on=MAY, by=by, at=AT)

    before = source_figures.bin_figures(grant, None, MAY - datetime.timedelta(days=1))
    after = source_figures.bin_figures(grant, None, LAST)

    assert (before.in_use, after.in_use, after.handed_out, after.households) == (1, 1, 2, 1)


def test_bins_for_households_that_may_not_be_served_are_counted(store, model, by):
    here = make_jurisdiction()
    grant = make_funding_source()
    grant.may_serve.add(here)
    received(store, model, 2, MARCH, funding_source=grant)
    give(store, model, by, MAY, household=make_household(jurisdiction=here))
    give(store, model, by, MAY, household=make_household(jurisdiction=make_jurisdiction()))

    assert source_figures.bin_figures(grant, FIRST, LAST).elsewhere == 1


def test_the_page_of_a_source_shows_its_bins(as_coordinator, store, model, by):
    grant = make_funding_source(name="Spring grant")
    order = received(store, model, 2, MARCH, unit_price_cents=4000, funding_source=grant)
    give(store, model, by, MAY)

    page = as_coordinator.get(reverse("funding_budget", args=[grant.pk])).content.decode()

    assert "$80.00" in page
    assert reverse("order", args=[order.pk]) in page
    assert "Spring grant" in as_coordinator.get(reverse("order", args=[order.pk])).content.decode()
