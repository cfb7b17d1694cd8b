"""What a funding source bought, handed out and still has on the shelf; what its bins cost, net of co-pay.

Bins are bought when an order of the source brought them, at the price of the order. Handed out they cost what the
order that they came from cost (first in, first out), less the co-pay that was taken. Where an order names no price
the usual cost of the bin model stands in, and where that is not known either the bin is counted as without a price.
A bin that came back to a shelf has cost nothing yet: it costs where it goes next.
"""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.db.models import Count, Exists, F, OuterRef, Q, QuerySet, Sum
from django.db.models.functions import Coalesce

from outreach.bins import provenance
from outreach.bins.models import BinOrder, Handout, HandoutQuerySet, Stay, StockMovement
from outreach.funding import figures
from outreach.funding.figures import SourceMoney
from outreach.funding.models import FundingSource
from outreach.funding.unit_costs import each

PRICE = Coalesce("order__unit_price_cents", "bin_model__unit_cost_cents")


@dataclass(frozen=True, slots=True, kw_only=True)
class BinFigures:
    """Bins of one source between two days, both included; stock as it is now, use on the last day."""

    ordered: int
    bought: int
    bought_cents: int
    handed_out: int
    handed_out_cents: int
    copay_cents: int
    # Bins handed out of which nobody knows the price; they add nothing to the cents.
    without_price: int
    households: int
    # Handed out to households that the source may not serve.
    elsewhere: int
    in_stock: int
    in_use: int

    @property
    def net_cents(self) -> int:
        """What the bins handed out cost the source; below 0 where the co-pay was more than that."""
        return self.handed_out_cents - self.copay_cents


@dataclass(frozen=True, slots=True, kw_only=True)
class SourceFigures:
    """The money of a source, its bins, and what came of both."""

    money: SourceMoney
    bins: BinFigures
    # Since the source began, for the cost of a bin that is still in use.
    bins_until: BinFigures
    other_cents: int
    other_until_cents: int

    @property
    def cost_cents(self) -> int:
        """Of the period: bins handed out, net of co-pay, and every other cost."""
        return self.bins.net_cents + self.other_cents

    @property
    def cost_until_cents(self) -> int:
        return self.bins_until.net_cents + self.other_until_cents

    @property
    def per_household_cents(self) -> int | None:
        """Cost of the period for each household that was handed a bin in it."""
        return each(self.cost_cents, self.bins.households)

    @property
    def per_bin_in_use_cents(self) -> int | None:
        """All that the source paid until the last day for each of its bins in use on that day."""
        return each(self.cost_until_cents, self.bins_until.in_use)


def figures_of(source: FundingSource, first_day: date | None, last_day: date) -> SourceFigures:
    """Everything about one source between two days; without a first day since it began."""
    money = figures.money_of(source, first_day, last_day)
    bought = {day: charges(day, last_day).get(source.pk, 0) for day in (first_day, None)}
    return SourceFigures(
        money=money,
        bins=bin_figures(source, first_day, last_day),
        bins_until=bin_figures(source, None, last_day),
        other_cents=money.spent_cents - bought[first_day],
        other_until_cents=money.spent_until_cents - bought[None],
    )


def bin_figures(source: FundingSource, first_day: date | None, last_day: date) -> BinFigures:
    """The bins of one source between two days."""
    orders = BinOrder.objects.standing().filter(funding_source=source)
    came = _receipts(first_day, last_day).filter(order__funding_source=source)
    out = _handed_out(source, first_day, last_day)
    sums = out.aggregate(
        bins=Count("pk"),
        cents=Coalesce(Sum(PRICE), 0),
        copay=Coalesce(Sum("copay_cents"), 0),
        without_price=Count("pk", filter=Q(order__unit_price_cents=None, bin_model__unit_cost_cents=None)),
        households=Count("counted_under", distinct=True),
    )
    return BinFigures(
        ordered=_within(orders, "ordered_on", first_day, last_day).aggregate(n=Sum("quantity"))["n"] or 0,
        bought=came.aggregate(n=Sum("quantity"))["n"] or 0,
        bought_cents=charges(first_day, last_day).get(source.pk, 0),
        handed_out=sums["bins"],
        handed_out_cents=sums["cents"],
        copay_cents=sums["copay"],
        without_price=sums["without_price"],
        households=sums["households"],
        elsewhere=_elsewhere(source, out),
        in_stock=_in_stock(source),
        in_use=_in_use(source, last_day),
    )


def charges(first_day: date | None, last_day: date) -> dict[int, int]:
    """Cents of the bins that came, by the number of the source that pays for their order."""
    rows = _receipts(first_day, last_day).filter(order__funding_source__isnull=False)
    return dict(
        rows.values_list("order__funding_source").annotate(cents=Coalesce(Sum(F("quantity") * PRICE), 0))
    )


def _receipts(first_day: date | None, last_day: date) -> QuerySet[StockMovement]:
    received = StockMovement.objects.filter(why=StockMovement.Why.RECEIVED).order_by()
    return _within(received, "moved_on", first_day, last_day)


def _handed_out(source: FundingSource, first_day: date | None, last_day: date) -> HandoutQuerySet:
    out = Handout.objects.with_bin_out().filter(order__funding_source=source).order_by()
    return _within(out, "handed_on", first_day, last_day)


def _within(rows: Any, field: str, first_day: date | None, last_day: date) -> Any:
    rows = rows.filter(**{f"{field}__lte": last_day})
    return rows if first_day is None else rows.filter(**{f"{field}__gte": first_day})


def _elsewhere(source: FundingSource, out: HandoutQuerySet) -> int:
    places = out.values_list("counted_under__jurisdiction", "counted_under__district").annotate(Count("pk"))
    return sum(
        bins
        for jurisdiction_id, district_id, bins in places
        # In no district, or in none on record, is not known to be one that is served.
        if not source.may_pay_in(jurisdiction_id, district_id or 0)
    )


def _in_stock(source: FundingSource) -> int:
    """Its bins on the shelves now: what came last lies there still."""
    its = dict(BinOrder.objects.filter(funding_source=source).values_list("pk", "bin_model"))
    left: Counter[int | None] = Counter()
    for bin_model_id in set(its.values()):
        for delivery in provenance.shelves_now(bin_model_id).contents():
            left[delivery.order_id] += delivery.quantity
    return sum(left[order_id] for order_id in its)


def _in_use(source: FundingSource, on: date) -> int:
    return count_in_use(_handed_out(source, None, on), on)


def count_in_use(out: HandoutQuerySet, on: date) -> int:
    """Of these bins, those with a household on a day which then had a bin in use, as the records have it.

    Whether it still composts with it is what the answers say.
    """
    later = Handout.objects.standing().filter(replaces=OuterRef("pk"), handed_on__lte=on)
    day = on.toordinal()
    using = Stay.objects.filter(counted_under=OuterRef("counted_under"), from_day__lte=day, until_day__gt=day)
    return out.exclude(returned_on__lte=on).filter(~Exists(later), Exists(using)).count()


def panel(source: FundingSource, first_day: date | None, last_day: date) -> dict[str, Any]:
    """What the page of a source shows of its bins."""
    its = figures_of(source, first_day, last_day)
    return {
        "figures": its,
        "bins": its.bins,
        "bins_until": its.bins_until,
        "orders": orders_of(source),
    }


def orders_of(source: FundingSource) -> Iterable[BinOrder]:
    orders = BinOrder.objects.filter(funding_source=source).with_received().select_related("bin_model")
    return orders.order_by("-ordered_on", "-pk")
