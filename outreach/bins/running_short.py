"""Will there be bins for the workshops planned? Stock now, orders by their due day, bins as planned.

A plan says how many bins, not which kind; by family it is split as the bins of the last year were, and
that is said beside the figure. An order whose day has passed without bins is not counted on.
"""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from django.db.models import Count
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from outreach.bins.models import BinModel, BinOrder, Handout, StockBalance
from outreach.workshops.models import Workshop

A_YEAR = timedelta(days=365)
# Fewer handouts than this say nothing about which kinds people take. Common practice, no source.
ENOUGH_HANDOUTS = 20


@dataclass(frozen=True, slots=True, kw_only=True)
class Shortage:
    """The first workshop that goes without: of all bins (`family` empty) or of one family."""

    family: str
    runs_out_on: date
    workshop: Workshop
    lacking: int
    sentence: str


@dataclass(frozen=True, slots=True)
class Supply:
    """Bins on hand, and those to come by day."""

    on_hand: int
    to_come: tuple[tuple[date, int], ...]

    def by(self, day: date) -> int:
        return self.on_hand + sum(quantity for due_on, quantity in self.to_come if due_on <= day)


def runs_short(on: date) -> list[Shortage]:
    """Where stock and orders fall short of the workshops planned from that day: all bins, then families."""
    planned = [workshop for workshop in _planned(on) if workshop.bins_planned]
    supplies = _supplies(on)
    overall = Supply(
        sum(supply.on_hand for supply in supplies.values()),
        tuple(arrival for supply in supplies.values() for arrival in supply.to_come),
    )
    found = [_shortage("", 1.0, planned, overall)]
    found += [
        _shortage(family, share, planned, supplies.get(family, Supply(0, ())))
        for family, share in sorted(_mix(on).items())
    ]
    return [shortage for shortage in found if shortage is not None]


def _planned(on: date) -> Iterable[Workshop]:
    return Workshop.objects.coming(on).select_related("venue").order_by("held_on", "starts_at_time", "pk")


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


def _shortage(family: str, share: float, planned: Iterable[Workshop], supply: Supply) -> Shortage | None:
    wanted = 0.0
    for workshop in planned:
        wanted += workshop.bins_planned * share
        lacking = round(wanted - supply.by(workshop.held_on))
        if lacking >= 1:
            return Shortage(
                family=family,
                runs_out_on=workshop.held_on,
                workshop=workshop,
                lacking=lacking,
                sentence=_sentence(family, workshop, lacking),
            )
    return None


def _sentence(family: str, workshop: Workshop, lacking: int) -> str:
    facts = {"count": lacking, "day": date_format(workshop.held_on, "j F Y"), "venue": workshop.venue}
    if not family:
        return _("Bins run out on %(day)s: %(venue)s goes short of %(count)d.") % facts
    words = _(
        "%(family)s bins run out on %(day)s if people take the kinds of bins that they took in the last "
        "year: %(venue)s goes short of %(count)d."
    )
    label = str(BinModel.Family(family).label)
    return words % (facts | {"family": label[:1].upper() + label[1:]})
