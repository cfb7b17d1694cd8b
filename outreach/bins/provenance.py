"""Which order a bin came from, first in first out: what it cost, and who paid for it.

The rule itself is in `first_in_first_out`; here it is given what the ledger says, and its answer is kept on the
handout. A bin that leaves is of the oldest delivery of which any is left, and of no order where that delivery,
or nothing at all, was noted for it.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from datetime import date

from django.db import transaction
from django.db.models import Count, Q, Sum

from outreach.bins import stays
from outreach.bins.chunks import in_chunks
from outreach.bins.first_in_first_out import (
    Delivery,
    Happening,
    Shelves,
    What,
    next_orders,
    replay,
    shelves_of,
)
from outreach.bins.models import BinOrder, Handout, StockBalance, StockMovement, StockPlace
from outreach.staff import many_rows

Why = StockMovement.Why


def next_order(bin_model_id: int, on: date) -> int | None:
    """The order of the bin of a model that leaves next, on that day."""
    return next_orders(shelves_now(bin_model_id), [on])[0]


def set_orders(handouts: Sequence[Handout]) -> None:
    """Put the order on handouts that are not saved yet, in the order in which they happened."""
    of_model: dict[int, list[Handout]] = defaultdict(list)
    for handout in sorted(handouts, key=lambda one: (one.handed_on, one.happened_at)):
        of_model[handout.bin_model_id].append(handout)
    for bin_model_id, its in of_model.items():
        orders = next_orders(shelves_now(bin_model_id), [handout.handed_on for handout in its])
        for handout, order_id in zip(its, orders, strict=True):
            handout.order_id = order_id


def shelves_now(bin_model_id: int) -> Shelves:
    """The bins of a model on all shelves together, delivery by delivery."""
    receipts = StockMovement.objects.filter(bin_model=bin_model_id, why=Why.RECEIVED)
    rows = receipts.order_by("moved_on", "pk").values_list("order", "moved_on", "quantity")
    return shelves_of(
        [Delivery(order_id=order_id, received_on=on, quantity=quantity) for order_id, on, quantity in rows],
        handed_out=handed_out(bin_model_id),
        on_hand=StockBalance.objects.filter(bin_model=bin_model_id).aggregate(n=Sum("on_hand"))["n"] or 0,
    )


def handed_out(bin_model_id: int) -> dict[int | None, int]:
    """Bins of each order, and of none, that went out and did not come back to a shelf."""
    out = Handout.objects.of_model(bin_model_id).with_bin_out().order_by()
    return dict(out.values_list("order").annotate(Count("pk")))


def noticed_late(bin_model_id: int, received_on: date) -> None:
    """Bins were received before others that are known to have gone out: these may be of another order."""
    if Handout.objects.standing().of_model(bin_model_id).from_day(received_on).exists():
        set_again(bin_model_id)


@transaction.atomic
def set_again(bin_model_id: int) -> int:
    """Work out the order of every handout of a model anew; return how many moved."""
    orders = replay(_happenings(bin_model_id))
    rows = Handout.objects.standing().of_model(bin_model_id).values_list("pk", "order", "counted_under")
    changed = [(pk, root_id) for pk, order_id, root_id in rows if order_id != orders.get(pk)]
    many_rows.update(
        Handout, [{"id": pk, "order_id": orders.get(pk)} for pk, _root_id in changed], ["order_id"]
    )
    stays.rebuild_roots({root_id for _pk, root_id in changed})
    return len(changed)


# What a movement is for the shelves; one between two of them is nothing.
_WHATS = {
    Why.RECEIVED: What.CAME,
    Why.HANDED_OUT: What.WENT,
    Why.TAKEN_BACK: What.CAME_BACK,
    Why.VOIDED: What.CAME_BACK,
    Why.COUNTED: What.CHANGED,
    Why.WRITTEN_OFF: What.CHANGED,
}
# Of one day: what came, then what went.
_ORDER_OF_A_DAY = tuple(_WHATS)


def _happenings(bin_model_id: int) -> Iterator[Happening]:
    """The movements of a model between the shelves and elsewhere, in the order of their days."""
    store = StockPlace.Kind.STORE
    across = Q(from_place__kind=store) ^ Q(to_place__kind=store)
    rows = StockMovement.objects.filter(across, bin_model=bin_model_id).order_by("moved_on", "pk")
    found = rows.values_list("why", "moved_on", "quantity", "order", "handout", "to_place__kind")
    ranked = sorted(found, key=lambda row: (row[1], _ORDER_OF_A_DAY.index(row[0])))
    for why, on, quantity, order_id, handout_id, to_kind in ranked:
        what = _WHATS[Why(why)]
        if what in (What.WENT, What.CAME_BACK) and handout_id is None:
            what = What.CHANGED
        signed = quantity if to_kind == store else -quantity
        yield Happening(
            what=what,
            on=on,
            quantity=signed if what is What.CHANGED else quantity,
            order_id=order_id,
            handout_id=handout_id,
        )


def paid_differently(order: BinOrder) -> None:
    """Another source pays for an order: the stays that its bins began follow."""
    theirs = Handout.objects.standing().filter(order=order)
    for ids in in_chunks(sorted(set(theirs.values_list("counted_under_id", flat=True)))):
        stays.rebuild_roots(ids)


def differing() -> list[str]:
    """Orders of which more bins were handed out than came."""
    return [
        f"Order {order_id} brought {received} bins, but {taken[order_id]} handouts are of it."
        for bin_model_id in _models()
        for taken in [handed_out(bin_model_id)]
        for order_id, received in _received(bin_model_id)
        if taken.get(order_id, 0) > received
    ]


def rebuild_all() -> None:
    """Work every model's handouts out again."""
    for bin_model_id in _models():
        set_again(bin_model_id)


def _models() -> Iterable[int]:
    return BinOrder.objects.order_by().values_list("bin_model_id", flat=True).distinct()


def _received(bin_model_id: int) -> list[tuple[int, int]]:
    receipts = StockMovement.objects.filter(bin_model=bin_model_id, order__isnull=False).order_by()
    return list(receipts.values_list("order").annotate(Sum("quantity")).order_by("order"))
