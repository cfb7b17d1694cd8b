"""What the ledger says: stock by model and place, what is still to come, who has a lot."""

from collections import Counter, defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.db.models import Sum

from outreach.bins.models import BinModel, BinOrder, Handout, StockBalance, StockMovement, StockPlace


@dataclass(frozen=True, slots=True, kw_only=True)
class ModelStock:
    """One bin model: how many at each store (in the order of `StockTable.places`), and on order."""

    bin_model: BinModel
    at_places: tuple[int, ...]
    on_order: int

    @property
    def on_hand(self) -> int:
        return sum(self.at_places)


@dataclass(frozen=True, slots=True, kw_only=True)
class StockTable:
    """Stock by bin model and store."""

    places: tuple[StockPlace, ...]
    rows: tuple[ModelStock, ...]

    @property
    def totals(self) -> tuple[int, ...]:
        return tuple(sum(row.at_places[i] for row in self.rows) for i in range(len(self.places)))

    @property
    def on_hand(self) -> int:
        return sum(self.totals)

    @property
    def on_order(self) -> int:
        return sum(row.on_order for row in self.rows)


def stock_by_model_and_place(on: date | None = None) -> StockTable:
    """What lies where: now, from the balances, or at the end of a day, added up from the movements."""
    on_hand = _balances() if on is None else _added_up(on)
    coming = on_order_by_model()
    places = tuple(StockPlace.objects.stores())
    touched = {model for _place, model in on_hand} | coming.keys()
    rows = tuple(
        ModelStock(
            bin_model=model,
            at_places=tuple(on_hand[place.pk, model.pk] for place in places),
            on_order=coming[model.pk],
        )
        for model in BinModel.objects.filter(pk__in=touched)
    )
    return StockTable(places=places, rows=rows)


def _balances() -> Counter[tuple[int, int]]:
    rows = StockBalance.objects.values_list("place", "bin_model", "on_hand")
    return Counter({(place, model): on_hand for place, model, on_hand in rows})


def _added_up(on: date) -> Counter[tuple[int, int]]:
    on_hand: Counter[tuple[int, int]] = Counter()
    for column, sign in (("to_place", 1), ("from_place", -1)):
        rows = StockMovement.objects.filter(moved_on__lte=on, **{f"{column}__kind": StockPlace.Kind.STORE})
        for place, model, quantity in (
            rows.order_by().values_list(column, "bin_model").annotate(Sum("quantity"))
        ):
            on_hand[place, model] += sign * quantity
    return on_hand


def on_order_by_model() -> Counter[int]:
    """Bins still to come, by the number of their model."""
    coming: Counter[int] = Counter()
    for order in BinOrder.objects.outstanding():
        coming[order.bin_model_id] += order.quantity - order.received
    return coming


@dataclass(frozen=True, slots=True, kw_only=True)
class LotTrace:
    """Where the bins of one lot are: households that have one, and handouts that came back or were voided."""

    lot: str
    with_households: tuple[Handout, ...]
    no_longer: tuple[Handout, ...]
    received: int
    handed_out: int

    @property
    def unaccounted(self) -> int:
        """Received with this lot and not known to have gone to a household."""
        return max(0, self.received - self.handed_out)


def who_has_lot(lot: str) -> LotTrace:
    """Every household that was given a bin of this lot, from the handouts; capitals do not matter."""
    handouts = Handout.objects.filter(lot__iexact=lot.strip()).exclude(lot="").with_details()
    groups: dict[bool, list[Handout]] = defaultdict(list)
    for handout in handouts:
        groups[bool(handout.voided_at or handout.returned_on or handout.is_replaced)].append(handout)
    moved = _moved(
        StockMovement.objects.of_lot(lot.strip()).values_list("why").annotate(Sum("quantity")).order_by()
    )
    return LotTrace(
        lot=lot.strip(),
        with_households=tuple(groups[False]),
        no_longer=tuple(groups[True]),
        received=moved[StockMovement.Why.RECEIVED],
        handed_out=moved[StockMovement.Why.HANDED_OUT] - moved[StockMovement.Why.VOIDED],
    )


def _moved(rows: Iterable[tuple[str, int]]) -> Counter[str]:
    return Counter(dict(rows))
