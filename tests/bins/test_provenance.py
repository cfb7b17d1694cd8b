"""Which order a bin came from, first in first out, and who paid for the days it is in use.

The expectations are counted by hand from the receipts and handouts of each test.
"""

import datetime

import pytest

from outreach.bins import handing_out, ledger, ordering, provenance
from outreach.bins.models import BinOrder, Handout, Stay, StockPlace
from outreach.bins.recording_facts import HandoutFact, record_facts
from tests.factories.bins import make_bin_model, make_stock_place
from tests.factories.funding import make_funding_source
from tests.factories.households import make_household
from tests.factories.staff import make_member

pytestmark = pytest.mark.django_db
DAY = datetime.date(2025, 3, 1)
AT = datetime.datetime(2025, 3, 1, 18, tzinfo=datetime.UTC)


@pytest.fixture
def store():
    return make_stock_place()


@pytest.fixture
def model():
    return make_bin_model()


def ordered(model, quantity, source=None):
    return BinOrder.objects.create(
        bin_model=model,
        supplier="Bins and more",
        quantity=quantity,
        ordered_on=DAY - datetime.timedelta(days=30),
        due_on=DAY,
        funding_source=source,
    )


def received(order, store, quantity, on=DAY):
    ledger.receive(
        quantity=quantity,
        to_place=store,
        received_on=on,
        by=None,
        at=AT,
        bin_model=order.bin_model,
        order=order,
    )


def handed_out(model, store, by):
    return handing_out.hand_out(
        household=make_household(), bin_model=model, handed_on=DAY, from_place=store, by=by, at=AT
    )


def test_bins_leave_the_oldest_order_first(model, store):
    older, newer, by = ordered(model, 2), ordered(model, 5), make_member()
    received(newer, store, 5)
    received(older, store, 2, on=DAY - datetime.timedelta(days=7))

    orders = [handed_out(model, store, by).order for _ in range(3)]

    assert orders == [older, older, newer]


def test_a_voided_bin_gives_its_place_in_the_order_back(model, store):
    order, by = ordered(model, 1), make_member()
    received(order, store, 1)
    first = handed_out(model, store, by)
    handing_out.void(handout=first, reason="never happened", by=by, at=AT)

    assert handed_out(model, store, by).order == order


def test_paperwork_takes_from_orders_in_the_order_of_its_days(model, store):
    order = ordered(model, 1)
    received(order, store, 1)
    days = [DAY + datetime.timedelta(days=2), DAY + datetime.timedelta(days=1)]
    facts = [
        HandoutFact(
            household=make_household(),
            bin_model=model,
            handed_on=day,
            happened_at=datetime.datetime.combine(day, datetime.time(12), tzinfo=datetime.UTC),
        )
        for day in days
    ]

    later, earlier = record_facts(facts, from_place=store, by=None, at=AT)

    assert (earlier.order, later.order) == (order, None)


def test_a_receipt_noted_late_finds_the_bins_that_went_out_before(model, store):
    source = make_funding_source()
    fact = HandoutFact(household=make_household(), bin_model=model, handed_on=DAY, happened_at=AT)
    (handout,) = record_facts([fact], from_place=store, by=None, at=AT)
    assert handout.order is None

    order = ordered(model, 4, source)
    received(order, store, 4)

    assert Handout.objects.get().order == order
    assert Stay.objects.get().funding_source == source


def test_the_days_of_use_fall_to_whoever_paid_for_the_bin_and_follow_a_correction(model, store):
    grant, budget = make_funding_source(), make_funding_source()
    order = ordered(model, 3, grant)
    received(order, store, 3)
    handed_out(model, store, make_member())
    assert Stay.objects.get().funding_source == grant

    order = BinOrder.objects.get()
    order.funding_source = budget
    ordering.correct_order(order=order)

    assert Stay.objects.get().funding_source == budget


def test_more_handouts_than_an_order_brought_are_found_and_put_right(model, store):
    order, by = ordered(model, 1), make_member()
    received(order, store, 1)
    first = handed_out(model, store, by)
    second = handing_out.hand_out(
        household=make_household(),
        bin_model=model,
        handed_on=DAY,
        from_place=store,
        by=by,
        at=AT,
        exception_reason="the count was wrong",
    )
    assert (first.order, second.order) == (order, None)
    Handout.objects.filter(pk=second.pk).update(order=order)
    assert provenance.differing()

    provenance.rebuild_all()

    assert not provenance.differing()
    assert set(Handout.objects.values_list("order", flat=True)) == {order.pk, None}


def test_a_grant_pays_for_no_bin_that_went_out_before_its_bins_came(model, store):
    ledger.receive(quantity=5, to_place=store, received_on=DAY, by=None, at=AT, bin_model=model)
    before = handed_out(model, store, make_member())
    order = ordered(model, 3, make_funding_source())

    received(order, store, 3, on=DAY + datetime.timedelta(days=30))

    before.refresh_from_db()
    assert before.order is None
    assert Stay.objects.get().funding_source is None


def test_a_receipt_noted_late_takes_its_place_in_the_line(model, store):
    newer, older, by = ordered(model, 5), ordered(model, 1), make_member()
    received(newer, store, 5, on=DAY - datetime.timedelta(days=1))
    first, second = (handed_out(model, store, by) for _ in range(2))
    assert {first.order, second.order} == {newer}

    received(older, store, 1, on=DAY - datetime.timedelta(days=9))

    orders = Handout.objects.order_by("pk").values_list("order", flat=True)
    assert list(orders) == [older.pk, newer.pk]


def test_a_bin_that_came_back_to_a_shelf_is_paid_for_once(model, store):
    older, newer, by = ordered(model, 1), ordered(model, 5), make_member()
    received(older, store, 1, on=DAY - datetime.timedelta(days=7))
    received(newer, store, 5)
    first = handed_out(model, store, by)
    handing_out.take_back(handout=first, to_place=store, taken_back_on=DAY, by=by, at=AT)

    again = handed_out(model, store, by)

    assert again.order == older
    assert not provenance.differing()
    assert set(Handout.objects.with_bin_out()) == {again}


def test_a_bin_that_was_scrapped_stays_with_its_household(model, store):
    order, by = ordered(model, 2), make_member()
    received(order, store, 2)
    first = handed_out(model, store, by)
    scrap = StockPlace.objects.end("scrap")

    handing_out.take_back(handout=first, to_place=scrap, taken_back_on=DAY, by=by, at=AT)

    assert provenance.handed_out(model.pk) == {order.pk: 1}
    assert provenance.set_again(model.pk) == 0
