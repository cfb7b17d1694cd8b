"""What a period cost and what was given in kind, for everywhere or for one jurisdiction.

For one jurisdiction: the bins that its households took, and costs and hours of workshops held there. What
belongs to no workshop cannot be parted among places and is in the filing of all of them only.
"""

from dataclasses import dataclass
from datetime import date

from django.db.models import Count, Q, QuerySet, Sum
from django.db.models.functions import Coalesce

from outreach.bins import source_figures
from outreach.bins.models import Handout, HandoutQuerySet
from outreach.funding import figures
from outreach.funding.figures import SourceMoney
from outreach.funding.models import BudgetLine, Cost, CostShare, FundingSource, Hours
from outreach.places.models import Jurisdiction


@dataclass(frozen=True, slots=True, kw_only=True)
class Bins:
    """Bins handed out: at the price of the order they came from, first in first out, and the co-pay taken."""

    households: int
    cents: int
    copay_cents: int
    without_price: int


@dataclass(frozen=True, slots=True, kw_only=True)
class InKind:
    """Unpaid minutes of one kind at one rate, with where the rate was published and when it was looked up."""

    doing: str
    minutes: int
    cents_per_hour: int
    published_in: str
    looked_up_on: date

    @property
    def cents(self) -> int:
        return figures.worth_cents({self.cents_per_hour: self.minutes})


@dataclass(frozen=True, slots=True, kw_only=True)
class SharedCost:
    """One source's part of a cost that several sources pay."""

    spent_on: date
    what_for: str
    source: str
    cents: int
    whole_cents: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Money:
    """The money of a period; `until` is since records began, to its last day."""

    bins: Bins
    other_by_kind: tuple[tuple[str, int], ...]
    cost_until_cents: int
    in_use: int
    in_kind: tuple[InKind, ...]
    sources: tuple[SourceMoney, ...]
    shared: tuple[SharedCost, ...]

    @property
    def cost_cents(self) -> int:
        """Bins handed out, net of co-pay, and every other cost of the period."""
        return self.bins.cents - self.bins.copay_cents + sum(cents for _kind, cents in self.other_by_kind)

    @property
    def is_empty(self) -> bool:
        known = self.bins.cents or self.bins.copay_cents or self.other_by_kind
        return not (known or self.in_kind or self.sources)


def money_between(first_day: date, last_day: date, *, jurisdiction: Jurisdiction | None) -> Money:
    """The money of these days, both included; sources are those that pay on any of them, shown whole."""
    out = _handed_out(jurisdiction).filter(handed_on__lte=last_day)
    shares = _shares(jurisdiction).filter(cost__spent_on__lte=last_day)
    until, of_period = _bins(out), shares.filter(cost__spent_on__gte=first_day)
    other_until = shares.aggregate(n=Coalesce(Sum("cents"), 0))["n"]
    kinds = dict(BudgetLine.Kind.choices)
    return Money(
        bins=_bins(out.filter(handed_on__gte=first_day)),
        other_by_kind=tuple(
            (str(kinds[kind]), cents)
            for kind, cents in of_period.values_list("budget_line__kind")
            .annotate(n=Sum("cents"))
            .order_by("budget_line__kind")
        ),
        cost_until_cents=until.cents - until.copay_cents + other_until,
        in_use=source_figures.count_in_use(out, last_day),
        in_kind=_in_kind(first_day, last_day, jurisdiction),
        sources=() if jurisdiction else _sources(first_day, last_day),
        shared=_shared(of_period),
    )


def _handed_out(jurisdiction: Jurisdiction | None) -> HandoutQuerySet:
    out = Handout.objects.with_bin_out().order_by()
    return out if jurisdiction is None else out.in_area_of(jurisdiction)


def _bins(out: HandoutQuerySet) -> Bins:
    unknown = Q(order__unit_price_cents=None, bin_model__unit_cost_cents=None)
    sums = out.aggregate(
        households=Count("counted_under", distinct=True),
        cents=Coalesce(Sum(source_figures.PRICE), 0),
        copay=Coalesce(Sum("copay_cents"), 0),
        without_price=Count("pk", filter=unknown),
    )
    return Bins(copay_cents=sums.pop("copay"), **sums)


def _shares(jurisdiction: Jurisdiction | None) -> "QuerySet[CostShare]":
    shares = CostShare.objects.filter(cost__voided_at__isnull=True).order_by()
    return shares if jurisdiction is None else shares.filter(cost__workshop__jurisdiction=jurisdiction)


def _in_kind(first_day: date, last_day: date, jurisdiction: Jurisdiction | None) -> tuple[InKind, ...]:
    hours = Hours.objects.standing().given_between(first_day, last_day).order_by()
    if jurisdiction is not None:
        hours = hours.filter(workshop__jurisdiction=jurisdiction)
    words = dict(Hours.Doing.choices)
    rate = ("rate__cents_per_hour", "rate__source", "rate__looked_up_on")
    rows = hours.values_list("doing", *rate).annotate(n=Sum("minutes")).order_by("doing", *rate)
    return tuple(
        InKind(
            doing=str(words[doing]),
            minutes=minutes,
            cents_per_hour=cents,
            published_in=where,
            looked_up_on=on,
        )
        for doing, cents, where, on, minutes in rows
    )


def _sources(first_day: date, last_day: date) -> tuple[SourceMoney, ...]:
    paying = FundingSource.objects.filter(starts_on__lte=last_day).exclude(ends_on__lt=first_day)
    return tuple(figures.money_of_all(paying, first_day, last_day))


def _shared(shares: "QuerySet[CostShare]") -> tuple[SharedCost, ...]:
    """Costs that more than one source pays, part by part."""
    several = (
        Cost.objects.filter(pk__in=shares.values("cost"))
        .annotate(n=Count("shares__budget_line__source", distinct=True))
        .filter(n__gt=1)
        .order_by()
    )
    rows = (
        shares.filter(cost__in=several.values("pk"))
        .values_list(
            "cost", "cost__spent_on", "cost__what_for", "cost__amount_cents", "budget_line__source__name"
        )
        .annotate(n=Sum("cents"))
        .order_by("cost__spent_on", "cost", "budget_line__source__name")
    )
    return tuple(
        SharedCost(spent_on=on, what_for=what, source=source, cents=cents, whole_cents=whole)
        for _cost, on, what, whole, source, cents in rows
    )
