"""Which order a bin came from, first in first out, and who paid for the days it is in use.

The expectations are counted by hand from the receipts and handouts of each test.
"""

import datetime

import pytest

from outreach.bins import handing_out, ledger, ordering, provenance
from outreach.bins.models import BinOrder, Handout, Stay
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
