"""Money of a funding source: budget, spent, unspent, match; for a period and since it began."""

from collections import Counter, defaultdict
from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import ROUND_HALF_UP, Decimal

from django.db.models import Sum

from outreach.funding.models import BudgetLine, CostShare, FundingSource, HoursShare

MINUTES_PER_HOUR = 60

# What bins cost each source, by its number, between two days; both days included, None is open.
BinCharges = Callable[[date | None, date], Mapping[int, int]]
_bin_charges: list[BinCharges] = []


def register_bin_charges(charges: BinCharges) -> None:
    """The app of bins says what its orders cost each source: that is spent on the line 'bins'."""
    _bin_charges[:] = [charges]


@dataclass(frozen=True, slots=True, kw_only=True)
class LineMoney:
    """One budget line: what it grants, and what was spent on it in the period and until its end."""

    line: BudgetLine
    budget_cents: int
    spent_cents: int
    spent_until_cents: int

    @property
    def left_cents(self) -> int:
        """Below 0 where more was spent than granted."""
        return self.budget_cents - self.spent_until_cents


@dataclass(frozen=True, slots=True, kw_only=True)
class SourceMoney:
    """One source between two days, both included; `until` is since it began, to the last of them.

    Bins are spent when an order brought them, at the price of the order; what an order does not hold, such as
    their delivery, is a cost like any other.
    """

    source: FundingSource
    first_day: date | None
    last_day: date
    lines: tuple[LineMoney, ...]
    # Bins of a source that has no line for them.
    bins_beyond_cents: int
    bins_beyond_until_cents: int
    match_minutes: int
    match_cents: int
    match_until_cents: int

    @property
    def budget_cents(self) -> int:
        return sum(line.budget_cents for line in self.lines)

    @property
    def spent_cents(self) -> int:
        return sum(line.spent_cents for line in self.lines) + self.bins_beyond_cents

    @property
    def spent_until_cents(self) -> int:
        return sum(line.spent_until_cents for line in self.lines) + self.bins_beyond_until_cents

    @property
    def left_cents(self) -> int:
        """Unspent of the source's amount; below 0 where it is overspent."""
        return self.source.amount_cents - self.spent_until_cents

    @property
    def match_missing_cents(self) -> int:
        return max(0, self.source.match_required_cents - self.match_until_cents)


def money_of(source: FundingSource, first_day: date | None, last_day: date) -> SourceMoney:
    """The money of one source between two days."""
    return money_of_all([source], first_day, last_day)[0]


def money_of_all(
    sources: Iterable[FundingSource], first_day: date | None, last_day: date
) -> list[SourceMoney]:
    """The money of several, in as many queries as for one."""
    them = list(sources)
    spent, until = (spent_by_line(day, last_day) for day in (first_day, None))
    bins, bins_until = (bins_by_source(day, last_day) for day in (first_day, None))
    match, match_until = (minutes_by_source(them, day, last_day) for day in (first_day, None))
    lines: dict[int, list[BudgetLine]] = defaultdict(list)
    for line in BudgetLine.objects.filter(source__in=them).order_by("pk"):
        lines[line.source_id].append(line)
    return [
        _composed(
            (source, first_day, last_day),
            lines[source.pk],
            (spent, until),
            (bins.get(source.pk, 0), bins_until.get(source.pk, 0)),
            (match[source.pk], match_until[source.pk]),
        )
        for source in them
    ]


Spent = Mapping[int, int]
# Minutes by what an hour of them is worth, in cents.
Minutes = Mapping[int, int]


def _composed(
    of: tuple[FundingSource, date | None, date],
    lines: Collection[BudgetLine],
    spent: tuple[Spent, Spent],
    bins: tuple[int, int],
    match: tuple[Minutes, Minutes],
) -> SourceMoney:
    source, first_day, last_day = of
    bins_line = next((line for line in lines if line.kind == BudgetLine.Kind.BINS), None)
    on_a_line = bins if bins_line is not None else (0, 0)
    return SourceMoney(
        source=source,
        first_day=first_day,
        last_day=last_day,
        lines=tuple(
            LineMoney(
                line=line,
                budget_cents=line.amount_cents,
                spent_cents=spent[0].get(line.pk, 0) + (on_a_line[0] if line is bins_line else 0),
                spent_until_cents=spent[1].get(line.pk, 0) + (on_a_line[1] if line is bins_line else 0),
            )
            for line in lines
        ),
        bins_beyond_cents=bins[0] - on_a_line[0],
        bins_beyond_until_cents=bins[1] - on_a_line[1],
        match_minutes=sum(match[0].values()),
        match_cents=worth_cents(match[0]),
        match_until_cents=worth_cents(match[1]),
    )


def spent_by_line(first_day: date | None, last_day: date) -> dict[int, int]:
    """Cents of standing costs by the number of the budget line that pays them."""
    shares = CostShare.objects.filter(cost__voided_at__isnull=True, cost__spent_on__lte=last_day)
    if first_day is not None:
        shares = shares.filter(cost__spent_on__gte=first_day)
    return dict(shares.order_by().values_list("budget_line").annotate(Sum("cents")))


def bins_by_source(first_day: date | None, last_day: date) -> dict[int, int]:
    """Cents of bins that came, by the number of the source that pays for their order."""
    found: Counter[int] = Counter()
    for charges in _bin_charges:
        found.update(charges(first_day, last_day))
    return dict(found)


def minutes_by_source(
    sources: Collection[FundingSource], first_day: date | None, last_day: date
) -> dict[int, dict[int, int]]:
    """Minutes that are match for each source, by the cents that an hour of them is worth."""
    shares = HoursShare.objects.filter(
        source__in=sources, hours__voided_at__isnull=True, hours__given_on__lte=last_day
    )
    if first_day is not None:
        shares = shares.filter(hours__given_on__gte=first_day)
    found: dict[int, dict[int, int]] = {source.pk: {} for source in sources}
    rows = shares.order_by().values_list("source", "hours__rate__cents_per_hour").annotate(Sum("minutes"))
    for source_id, rate, minutes in rows:
        found[source_id][rate] = minutes
    return found


def worth_cents(minutes_by_rate: Minutes) -> int:
    """What minutes at these rates are worth, rounded half up once, at the end."""
    cent_minutes = sum(rate * minutes for rate, minutes in minutes_by_rate.items())
    return int((Decimal(cent_minutes) / MINUTES_PER_HOUR).to_integral_value(ROUND_HALF_UP))
