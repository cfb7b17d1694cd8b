"""Bin models and stock that paperwork names: models for a person to confirm, receipts and counts."""

from collections import Counter
from typing import Any

from django.db.models import Q, QuerySet, Sum
from django.utils.translation import gettext as _

from outreach.bins import ledger
from outreach.bins.models import BinModel, StockMovement, StockPlace
from outreach.intake.bin_names import NewModel
from outreach.intake.results import Batch, RowResult
from outreach.intake.stock_lists import StockLine
from outreach.intake.vocabulary import fold

Why = StockMovement.Why
FIRST_STORE = "Store"


def default_store() -> StockPlace:
    """Where paperwork's bins come from and go to: the first store on record, made when there is none."""
    return StockPlace.objects.stores().order_by("pk").first() or StockPlace.objects.create(name=FIRST_STORE)


def saved_model(named: BinModel | NewModel, row: RowResult) -> BinModel:
    """The bin model on record; one first met in paperwork waits for a person to confirm it."""
    if isinstance(named, BinModel):
        return named
    model, is_new = BinModel.objects.get_or_create(
        name_key=fold(named.name).upper(),
        defaults={"name": named.name, "family": named.family, "litres": named.litres},
    )
    if is_new:
        row.add(model)
        row.doubt(_("Bin: a new model; family and litres were read from its name. Confirm them under Bins."))
    return model


def write_stock(batch: Batch) -> None:
    """Record deliveries, and first counts of a shelf, in the order of their days."""
    stated = sorted(batch.stating(StockLine), key=lambda pair: pair[1].on)
    if not stated:
        return
    store = default_store()
    known = Counter(StockMovement.objects.filter(why=Why.RECEIVED).values_list(*_SAME_DELIVERY))
    for row, line in stated:
        model = saved_model(line.bin_model, row)
        if line.received:
            _receive(batch, row, line, model, store, known)
        if line.gone:
            row.doubt(_("Bins out: handouts come from sign-in sheets; these were not taken off the shelf."))
        if line.counted is not None:
            _count(batch, row, line, model, store)
        elif not line.received and not line.gone:
            row.doubt(_("Bins: the row gives no number. Say how many came or were counted."))
        row.known()


_SAME_DELIVERY = ("bin_model_id", "quantity", "moved_on")


def _receive(
    batch: Batch, row: RowResult, line: StockLine, model: BinModel, store: StockPlace, known: Counter[Any]
) -> None:
    delivery = (model.pk, line.received, line.on)
    if known[delivery]:
        known[delivery] -= 1
        return
    movement = ledger.receive(
        bin_model=model,
        quantity=line.received,
        to_place=store,
        received_on=line.on,
        lot=line.lot,
        note=line.note,
        event_id=batch.event(row, "in"),
        by=batch.by,
        at=batch.at,
    )
    row.add(movement)


def _count(batch: Batch, row: RowResult, line: StockLine, model: BinModel, store: StockPlace) -> None:
    """A shelf the ledger knows nothing of starts with its count; a later count is only compared."""
    counted = line.counted or 0
    until_then = StockMovement.objects.filter(bin_model=model, moved_on__lte=line.on)
    if not until_then.exists() and counted:
        unknown = StockPlace.objects.end(StockPlace.Kind.COUNT)
        movement = ledger.move(
            bin_model=model,
            quantity=counted,
            from_place=unknown,
            to_place=store,
            why=Why.COUNTED,
            moved_on=line.on,
            note=line.note,
            event_id=batch.event(row, "count"),
            by=batch.by,
            at=batch.at,
        )
        row.add(movement)
    elif _on_shelves(until_then) != counted and not line.gone:
        row.doubt(
            _("Count on the shelf: differs from the ledger on that day. If it still holds, count under Bins.")
        )


def _on_shelves(movements: QuerySet[StockMovement]) -> int:
    """What the ledger had in its stores after these movements."""
    store = StockPlace.Kind.STORE
    sums = movements.aggregate(
        came=Sum("quantity", filter=Q(to_place__kind=store)),
        went=Sum("quantity", filter=Q(from_place__kind=store)),
    )
    return (sums["came"] or 0) - (sums["went"] or 0)
