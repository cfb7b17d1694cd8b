"""Which order a bin came from, first in first out: what it cost, and who paid for it.

A bin is of the oldest order, by its first receipt, of which bins are left: received, and not handed out since.
Bins that were written off or found by a count are of no order in particular; they stay with the oldest.
"""

from collections import defaultdict, deque
from collections.abc import Iterable, Sequence

from django.db import transaction
from django.db.models import Count, Min, Sum

from outreach.bins import stays
from outreach.bins.chunks import in_chunks
from outreach.bins.models import BinOrder, Handout, StockMovement
from outreach.staff import many_rows


def next_orders(bin_model_id: int, how_many: int) -> list[int | None]:
    """The orders that the next so many bins of a model come from; None beyond what orders brought."""
    taken = _taken(bin_model_id)
    found: list[int | None] = []
    for order_id, received in _received(bin_model_id):
        left = received - taken.get(order_id, 0)
        found += [order_id] * max(0, min(left, how_many - len(found)))
    return found + [None] * (how_many - len(found))


def set_orders(handouts: Sequence[Handout]) -> None:
    """Put the order on handouts that are not saved yet, in the order in which they happened."""
    of_model: dict[int, list[Handout]] = defaultdict(list)
    for handout in sorted(handouts, key=lambda one: (one.handed_on, one.happened_at)):
        of_model[handout.bin_model_id].append(handout)
    for bin_model_id, its in of_model.items():
        for handout, order_id in zip(its, next_orders(bin_model_id, len(its)), strict=True):
            handout.order_id = order_id


def noticed_late(bin_model_id: int) -> None:
    """Bins of an order were received: any that went out before anyone noted them are of it."""
    if Handout.objects.standing().of_model(bin_model_id).filter(order__isnull=True).exists():
        set_again(bin_model_id)


@transaction.atomic
def set_again(bin_model_id: int) -> int:
    """Work out the order of every handout of a model anew, after a receipt that came late; return how many moved."""
    waiting = deque(order_id for order_id, received in _received(bin_model_id) for _one in range(received))
    standing = Handout.objects.standing().of_model(bin_model_id).order_by("handed_on", "happened_at", "pk")
    changed = []
    for handout in standing:
        order_id = waiting.popleft() if waiting else None
        if order_id != handout.order_id:
            handout.order_id = order_id
            changed.append(handout)
    many_rows.update_records(changed, ["order"])
    stays.rebuild_roots({handout.counted_under_id for handout in changed})
    return len(changed)


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
        for taken in [_taken(bin_model_id)]
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
    """Orders with the bins that came of each, the one that came first first."""
    receipts = StockMovement.objects.filter(bin_model=bin_model_id, order__isnull=False).order_by()
    rows = receipts.values("order").annotate(first=Min("moved_on"), bins=Sum("quantity"))
    return [(row["order"], row["bins"]) for row in rows.order_by("first", "order")]


def _taken(bin_model_id: int) -> dict[int, int]:
    handouts = Handout.objects.standing().of_model(bin_model_id).filter(order__isnull=False).order_by()
    return dict(handouts.values_list("order").annotate(Count("pk")))
