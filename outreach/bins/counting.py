"""Bins that went home in a period, counted for a filing."""

from dataclasses import dataclass
from datetime import date

from django.db.models import Count, Q, QuerySet

from outreach.bins.models import BinModel, Handout, RuleException
from outreach.places.models import Jurisdiction


@dataclass(frozen=True, slots=True, kw_only=True)
class BinCounts:
    """Handouts of a period. `exceptions` are (kind, how many, how many without a reason)."""

    bins: int
    by_family: tuple[tuple[str, int], ...]
    households: int
    exceptions: tuple[tuple[str, int, int], ...]


def counts_between(first_day: date, last_day: date, *, jurisdiction: Jurisdiction | None) -> BinCounts:
    """Count what was handed out to a jurisdiction's households, or at its workshops to people of elsewhere."""
    handouts = Handout.objects.standing().handed_between(first_day, last_day)
    if jurisdiction is not None:
        handouts = handouts.in_area_of(jurisdiction)
    return BinCounts(
        bins=handouts.count(),
        by_family=_by_family(handouts),
        households=handouts.values("counted_under").distinct().count(),
        exceptions=_exceptions(handouts),
    )


def _by_family(handouts: "QuerySet[Handout]") -> tuple[tuple[str, int], ...]:
    words = dict(BinModel.Family.choices)
    rows = (
        handouts.order_by()
        .values_list("bin_model__family")
        .annotate(bins=Count("pk"))
        .order_by("-bins", "bin_model__family")
    )
    return tuple((str(words[family]), bins) for family, bins in rows)


def _exceptions(handouts: "QuerySet[Handout]") -> tuple[tuple[str, int, int], ...]:
    words = dict(RuleException.Kind.choices)
    numbers = handouts.order_by().values("pk")
    rows = (
        RuleException.objects.filter(Q(handouts__in=numbers) | Q(stock_handouts__in=numbers))
        .order_by()
        .values_list("kind")
        .annotate(
            all_of_them=Count("pk", distinct=True), open=Count("pk", distinct=True, filter=Q(reason=""))
        )
        .order_by("kind")
    )
    return tuple((str(words[kind]), count, without) for kind, count, without in rows)
