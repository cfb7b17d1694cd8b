"""Will there be bins for the workshops planned? Stock now, orders by their due day, bins as planned or
promised, whichever are more, and those that are owed to households by their day.

A plan says how many bins, not which kind; by family it is split as the bins of the last year were, and
that is said beside the figure. An order whose day has passed without bins is not counted on.
"""

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from django.db.models import Count
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from outreach.bins.models import BinModel, BinOrder, Handout, Promise, StockBalance
from outreach.workshops.models import Workshop

A_YEAR = timedelta(days=365)
# Fewer handouts than this say nothing about which kinds people take. Common practice, no source.
ENOUGH_HANDOUTS = 20


@dataclass(frozen=True, slots=True, kw_only=True)
class Shortage:
    """The first workshop that goes without, of all bins (`family` empty) or of one family; none where it is
    the bins owed that are lacking."""

    family: str
    runs_out_on: date
    workshop: Workshop | None
    lacking: int
    sentence: str


@dataclass(frozen=True, slots=True)
class Supply:
    """Bins on hand, and those to come by day."""

    on_hand: int
    to_come: tuple[tuple[date, int], ...]

    def by(self, day: date) -> int:
        return self.on_hand + sum(quantity for due_on, quantity in self.to_come if due_on <= day)


@dataclass(frozen=True, slots=True)
class Demand:
    """So many bins wanted on a day: for a workshop, or because they are owed."""

    on: date
    bins: int
    workshop: Workshop | None


def runs_short(on: date) -> list[Shortage]:
    """Where stock and orders fall short of what is planned, promised and owed: all bins, then families."""
    demands = sorted([*_of_workshops(on), *_owed(on)], key=lambda demand: demand.on)
    supplies = _supplies(on)
    overall = Supply(
        sum(supply.on_hand for supply in supplies.values()),
        tuple(arrival for supply in supplies.values() for arrival in supply.to_come),
    )
    found = [_shortage("", 1.0, demands, overall)]
    found += [
        _shortage(family, share, demands, supplies.get(family, Supply(0, ())))
        for family, share in sorted(_mix(on).items())
    ]
    return [shortage for shortage in found if shortage is not None]


def _of_workshops(on: date) -> Iterator[Demand]:
    """What is planned for each, or promised where that is more."""
    promised = Counter(Promise.objects.kept().order_by().values_list("workshop", flat=True))
    coming = Workshop.objects.coming(on).select_related("venue").order_by("held_on", "starts_at_time", "pk")
    for workshop in coming:
        if bins := max(workshop.bins_planned, promised[workshop.pk]):
            yield Demand(workshop.held_on, bins, workshop)


def _owed(on: date) -> Iterator[Demand]:
    """What is overdue is wanted now."""
    wanted = Promise.objects.owed().values_list("promised_for_on", flat=True)
    days = Counter(max(day or on, on) for day in wanted)
    for day, bins in days.items():
        yield Demand(day, bins, None)


def _supplies(on: date) -> dict[str, Supply]:
    on_hand: Counter[str] = Counter()
    for family, quantity in StockBalance.objects.values_list("bin_model__family", "on_hand"):
        on_hand[family] += max(0, quantity)
    to_come: dict[str, list[tuple[date, int]]] = {}
    for order in BinOrder.objects.outstanding().filter(due_on__gte=on).select_related("bin_model"):
        arrivals = to_come.setdefault(order.bin_model.family, [])
        arrivals.append((order.due_on, order.quantity - order.received))
    families = on_hand.keys() | to_come.keys()
    return {family: Supply(on_hand[family], tuple(to_come.get(family, ()))) for family in families}


def _mix(on: date) -> dict[str, float]:
    """Shares of the families among the bins handed out in the year before."""
    recent = Handout.objects.standing().handed_between(on - A_YEAR, on).order_by()
    counts = dict(recent.values_list("bin_model__family").annotate(Count("pk")))
    everything = sum(counts.values())
    if everything < ENOUGH_HANDOUTS or len(counts) == 1:
        return {}
    return {family: count / everything for family, count in counts.items()}


def _shortage(family: str, share: float, demands: Iterable[Demand], supply: Supply) -> Shortage | None:
    wanted = 0.0
    for demand in demands:
        wanted += demand.bins * share
        lacking = round(wanted - supply.by(demand.on))
        if lacking >= 1:
            return Shortage(
                family=family,
                runs_out_on=demand.on,
                workshop=demand.workshop,
                lacking=lacking,
                sentence=_sentence(family, demand, lacking),
            )
    return None


def _sentence(family: str, demand: Demand, lacking: int) -> str:
    who = demand.workshop.venue if demand.workshop else _("households that are owed one")
    facts = {"count": lacking, "day": date_format(demand.on, "j F Y"), "venue": who}
    if not family and demand.workshop is None:
        return _("Bins run out on %(day)s: households that are owed one go short of %(count)d.") % facts
    if not family:
        return _("Bins run out on %(day)s: %(venue)s goes short of %(count)d.") % facts
    words = _(
        "%(family)s bins run out on %(day)s if people take the kinds of bins that they took in the last "
        "year: %(venue)s goes short of %(count)d."
    )
    label = str(BinModel.Family(family).label)
    return words % (facts | {"family": label[:1].upper() + label[1:]})
