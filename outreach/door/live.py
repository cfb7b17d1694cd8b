"""What goes on at a Door at this moment, in counts."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from django.db.models import Count, OuterRef, Q, QuerySet, Subquery
from django.db.models.functions import Coalesce

from outreach.bins.models import BinModel, Handout, HandoutQuerySet, StockBalance
from outreach.door.models import Device, DoorTable, EventOutcome
from outreach.door.prepared import Prepared
from outreach.workshops.models import Workshop

# A device that is heard from this often would have sent what it holds. Common practice, no source.
HEARD_WITHIN = timedelta(minutes=10)


def _without_a_reason() -> HandoutQuerySet:
    """Bins that stand outside the rule or the ledger and of which nobody has said why."""
    lacks = Q(exception__reason="") | Q(stock_exception__reason="")
    return Handout.objects.standing().filter(lacks).order_by()


def _how_many(rows: QuerySet[Any]) -> Coalesce:
    """Of a workshop, as a part of a query over workshops."""
    counted = rows.filter(workshop=OuterRef("pk")).order_by().values("workshop").annotate(n=Count("pk"))
    return Coalesce(Subquery(counted.values("n")), 0)


_NUMBERS = Prepared(
    lambda number, heard_since: (
        Workshop.objects.with_came()
        .filter(pk=number)
        .order_by()
        .values_list(
            "people_came",
            _how_many(_without_a_reason()),
            _how_many(Device.objects.that_may_hold(heard_since)),
        )
    ),
    int,
    datetime,
)
_LEFT = Prepared(
    lambda number: (
        StockBalance.objects.filter(place__in=DoorTable.objects.filter(workshop=number).values("place"))
        .order_by("bin_model_id")
        .values_list("bin_model_id", "on_hand")
    ),
    int,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Shelf:
    """How many of one bin model are left at the table."""

    bin_model: BinModel
    left: int


def shelves(workshop: Workshop) -> list[Shelf]:
    """Each bin model that lies, or lay, at the table; what the ledger is short of is none left."""
    place = DoorTable.objects.filter(workshop=workshop).values("place")
    balances = StockBalance.objects.filter(place__in=place).select_related("bin_model").order_by("bin_model")
    return [Shelf(bin_model=one.bin_model, left=max(one.on_hand, 0)) for one in balances]


def people_in(workshop: Workshop) -> int:
    """Those on the list who came, those who came along with them, and those who are on no list."""
    return Workshop.objects.with_came().values_list("people_came", flat=True).get(pk=workshop.pk)  # type: ignore[misc]


def exceptions(workshop: Workshop) -> int:
    """Bins handed out here that stand outside the rule or the ledger and nobody has said why."""
    return _without_a_reason().filter(workshop=workshop).count()


def held(workshop: Workshop) -> int:
    return EventOutcome.objects.at(workshop).held().count()


def that_may_hold_something(workshop: Workshop, at: datetime) -> list[Device]:
    """Devices that said they hold something, or were not heard from since."""
    return list(Device.objects.of(workshop).that_may_hold(at - HEARD_WITHIN))


def may_hold(device: Device, at: datetime) -> bool:
    if device.ended_at is not None:
        return False
    return device.unsent > 0 or at - device.last_seen_at > HEARD_WITHIN


def counts(workshop: Workshop, at: datetime) -> dict[str, Any]:
    """The same as the devices are told."""
    ((people, without_a_reason, out),) = _NUMBERS.rows(workshop.pk, at - HEARD_WITHIN)
    return {
        "people_in": int(people),
        "bins_left": {str(model): max(left, 0) for model, left in _LEFT.rows(workshop.pk)},
        "exceptions": without_a_reason,
        "devices_unsent": out,
    }
