"""The stock ledger: movements and balances change together, and nothing leaves an empty shelf."""

import datetime
import uuid

import pytest
from django.core.exceptions import ValidationError
from django.core.management import CommandError, call_command
from django.db import IntegrityError, transaction

from outreach.bins import ledger, ledger_reads
from outreach.bins.models import StockBalance, StockMovement, StockPlace
from tests.factories.bins import make_bin_model, make_exception, make_order, make_stock_place
from tests.factories.staff import make_member

pytestmark = [pytest.mark.django_db, pytest.mark.postgres]

AT = datetime.datetime(2025, 6, 1, 18, tzinfo=datetime.UTC)
TODAY = datetime.date(2025, 6, 1)


@pytest.fixture
def shelf():
    """A store with ten bins of one model."""
    bin_model, place, by = make_bin_model(name="Mesh ring"), make_stock_place(name="Yard"), make_member()
    ledger.receive(
        bin_model=bin_model, quantity=10, to_place=place, received_on=TODAY, by=by, at=AT, lot="A1"
    )
    return {"bin_model": bin_model, "place": place, "who": {"by": by, "at": AT}}


def move(shelf, quantity, **more):
    facts = {"to_place": make_stock_place(), "why": "moved", "moved_on": TODAY} | more
    return ledger.move(
        bin_model=shelf["bin_model"], quantity=quantity, from_place=shelf["place"], **facts, **shelf["who"]
    )


def on_hand(shelf, place=None):
    return StockBalance.objects.get(place=place or shelf["place"], bin_model=shelf["bin_model"]).on_hand


def test_a_movement_changes_both_balances(shelf):
    van = make_stock_place()

    move(shelf, 4, to_place=van)

    assert (on_hand(shelf), on_hand(shelf, van)) == (6, 4)


def test_more_than_the_ledger_has_is_refused_with_a_sentence_and_nothing_is_written(shelf):
    with pytest.raises(ValidationError, match=r"The ledger has 10 of Mesh ring at Yard\. Count the shelf"):
        move(shelf, 11)

    assert on_hand(shelf) == 10
    assert StockMovement.objects.count() == 1


def test_an_exception_excuses_just_the_shortfall(shelf):
    move(shelf, 13, excuse=make_exception(kind="none_on_ledger"))

    assert StockBalance.objects.filter(place=shelf["place"]).values_list("on_hand", "excused").get() == (
        -3,
        3,
    )


def test_a_count_writes_the_difference_and_ends_the_excuse(shelf):
    move(shelf, 13, excuse=make_exception(kind="none_on_ledger"))

    counted = ledger.count(
        bin_model=shelf["bin_model"], quantity=2, place=shelf["place"], counted_on=TODAY, **shelf["who"]
    )

    assert (counted.quantity, counted.why, counted.from_place.kind) == (5, "counted", "count")
    assert StockBalance.objects.filter(place=shelf["place"]).values_list("on_hand", "excused").get() == (2, 0)


def test_a_count_that_agrees_writes_nothing(shelf):
    facts = {"bin_model": shelf["bin_model"], "place": shelf["place"], "counted_on": TODAY}

    assert ledger.count(quantity=10, **facts, **shelf["who"]) is None


def test_the_same_event_twice_is_one_movement(shelf):
    event = uuid.uuid4()

    assert move(shelf, 2, event_id=event).pk == move(shelf, 2, event_id=event).pk
    assert on_hand(shelf) == 8


def test_written_off_bins_go_to_scrap(shelf):
    written_off = ledger.write_off(
        bin_model=shelf["bin_model"], quantity=1, place=shelf["place"], written_off_on=TODAY, **shelf["who"]
    )

    assert written_off.to_place == StockPlace.objects.end("scrap")
    assert on_hand(shelf) == 9


def test_a_receipt_fits_its_order(shelf):
    order = make_order(bin_model=shelf["bin_model"], quantity=20)
    facts = {"to_place": shelf["place"], "received_on": TODAY, "order": order, "quantity": 5}

    ledger.receive(bin_model=shelf["bin_model"], **facts, **shelf["who"])

    assert ledger_reads.on_order_by_model()[shelf["bin_model"].pk] == 15
    with pytest.raises(ValidationError, match="another bin model"):
        ledger.receive(bin_model=make_bin_model(), **facts, **shelf["who"])


def test_a_cancelled_order_brings_nothing(shelf):
    order = make_order(bin_model=shelf["bin_model"], cancelled_on=TODAY)

    with pytest.raises(ValidationError, match="was cancelled"):
        ledger.receive(
            bin_model=shelf["bin_model"],
            quantity=5,
            order=order,
            to_place=shelf["place"],
            received_on=TODAY,
            **shelf["who"],
        )


def test_stock_of_an_earlier_day_is_added_up_from_the_movements(shelf):
    move(shelf, 4, moved_on=TODAY + datetime.timedelta(days=3))

    then = ledger_reads.stock_by_model_and_place(on=TODAY)
    now = ledger_reads.stock_by_model_and_place()

    assert [row.at_places[then.places.index(shelf["place"])] for row in then.rows] == [10]
    assert [row.at_places[now.places.index(shelf["place"])] for row in now.rows] == [6]


def test_each_end_of_the_ledger_is_one_place():
    assert StockPlace.objects.end("count") == StockPlace.objects.end("count")
    with pytest.raises(ValidationError, match="just one place of this kind"):
        StockPlace(name="Second scrap", kind="scrap").full_clean()


def test_movements_are_never_changed_nor_removed(shelf):
    for attempt in (StockMovement.objects.all().delete, lambda: StockMovement.objects.update(quantity=9)):
        with pytest.raises(IntegrityError, match="never changed or removed"), transaction.atomic():
            attempt()


def test_check_records_finds_a_wrong_balance_and_mends_it(shelf, capsys):
    StockBalance.objects.update(on_hand=7)

    with pytest.raises(CommandError, match="--mend"):
        call_command("check_records")
    call_command("check_records", "--mend")

    assert "kept 7, the movements add up to 10" in capsys.readouterr().out
    assert on_hand(shelf) == 10
    call_command("check_records")
