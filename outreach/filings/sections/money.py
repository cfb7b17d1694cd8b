"""What it cost, who paid, what was given in kind, and what one household, bin or tonne came to."""

from diversion.figures import Measure
from outreach.filings.costing import Money
from outreach.filings.occasion import Occasion, day_in_words
from outreach.filings.report import Cell, Column, Number, Section, Table
from outreach.funding.unit_costs import each, per_tonne

HOW_COUNTED = (
    "A bin costs what the order it came from cost, first in, first out, less the co-pay that was taken; a bin that "
    "was ordered and not handed out yet is in what its funding source has spent, not in the cost of the period."
)
OF_ONE_PLACE = (
    "Counted are bins that its households took, and costs and hours of workshops held there. What belongs to no "
    "workshop, and what funding sources have left, stands in the filing of all jurisdictions."
)
UNIT = "$"


def money(occasion: Occasion) -> tuple[Section, ...]:
    """One section where anything is on record about money, none otherwise."""
    its = occasion.money
    if its.is_empty:
        return ()
    place = () if occasion.place == "all jurisdictions" else (OF_ONE_PLACE,)
    tables = (_costs(its), _sources(its), _shared(its), _in_kind(its), _unit_costs(occasion))
    return (
        Section(
            key="money",
            heading="Money",
            paragraphs=(HOW_COUNTED, *place, *_without_price(its)),
            tables=tuple(table for table in tables if table.rows),
        ),
    )


def dollars(cents: int | None) -> Number:
    """Dollars to the cent; below 0 with a minus sign."""
    if cents is None:
        return Number(value=None, printed="–")
    sign = "−" if cents < 0 else ""
    return Number(value=cents / 100, printed=f"{sign}{abs(cents) / 100:,.2f}")


def _without_price(its: Money) -> tuple[str, ...]:
    unpriced = its.bins.without_price
    if not unpriced:
        return ()
    bins = "one bin" if unpriced == 1 else f"{unpriced} of the bins"
    return (
        f"Nobody knows the price of {bins}, so the cost of the period and of one is at least what stands here.",
    )


def _costs(its: Money) -> Table:
    rows: list[tuple[Cell, ...]] = [
        ("Bins handed out, at the price of their order", dollars(its.bins.cents)),
        ("Co-pay taken for them", dollars(-its.bins.copay_cents)),
    ]
    rows += [(_capital(kind), dollars(cents)) for kind, cents in its.other_by_kind]
    return Table(
        key="costs",
        caption="What the period cost",
        columns=(Column(heading="What"), Column(heading="Cost", unit=UNIT, is_number=True)),
        rows=tuple(rows),
        total=("All", dollars(its.cost_cents)),
    )


def _sources(its: Money) -> Table:
    """Each source's lines, and what it has left; bins are spent here when an order brought them."""
    rows: list[tuple[Cell, ...]] = []
    for one in its.sources:
        name = one.source.name
        rows += [
            (
                name,
                _capital(line.line.words),
                *map(dollars, (line.budget_cents, line.spent_cents, line.spent_until_cents, line.left_cents)),
            )
            for line in one.lines
        ]
        whole = (one.source.amount_cents, one.spent_cents, one.spent_until_cents, one.left_cents)
        rows.append((name, "All of it", *map(dollars, whole)))
        if one.source.match_required_cents or one.match_until_cents:
            match = (one.source.match_required_cents, one.match_cents, one.match_until_cents)
            rows.append((name, "Match, given in kind", *map(dollars, (*match, one.match_missing_cents))))
    headings = ("Granted, or asked for", "In the period", "Since it began", "Left, or missing")
    return Table(
        key="sources",
        caption="By funding source and budget line",
        columns=(
            Column(heading="Funding source"),
            Column(heading="Budget line"),
            *(Column(heading=heading, unit=UNIT, is_number=True) for heading in headings),
        ),
        rows=tuple(rows),
    )


def _shared(its: Money) -> Table:
    return Table(
        key="shared_costs",
        caption="Costs that several sources pay: no part is counted twice",
        columns=(
            Column(heading="What"),
            Column(heading="Funding source"),
            Column(heading="Its part", unit=UNIT, is_number=True),
            Column(heading="Of the whole", unit=UNIT, is_number=True),
            Column(heading="Share", unit="%", is_number=True),
        ),
        rows=tuple(
            (
                f"{one.what_for}, {day_in_words(one.spent_on)}",
                one.source,
                dollars(one.cents),
                dollars(one.whole_cents),
                _percent(one.cents, one.whole_cents),
            )
            for one in its.shared
        ),
        note="The shares of a cost sum to 100 %.",
    )


def _percent(part: int, whole: int) -> Number:
    return Number(value=100 * part / whole, printed=f"{100 * part / whole:.1f}")


def _in_kind(its: Money) -> Table:
    return Table(
        key="in_kind",
        caption="Unpaid hours, given in kind",
        columns=(
            Column(heading="What"),
            Column(heading="Hours", is_number=True),
            Column(heading="An hour is worth", unit=UNIT, is_number=True),
            Column(heading="Worth", unit=UNIT, is_number=True),
            Column(heading="Where the rate is published"),
        ),
        rows=tuple(
            (
                _capital(one.doing),
                Number(value=one.minutes / 60, printed=f"{one.minutes / 60:,.1f}"),
                dollars(one.cents_per_hour),
                dollars(one.cents),
                f"{one.published_in}, looked up on {day_in_words(one.looked_up_on)}",
            )
            for one in its.in_kind
        ),
    )


def _unit_costs(occasion: Occasion) -> Table:
    its = occasion.money
    rows: list[tuple[Cell, ...]] = [
        (
            "A household that took a bin in the period",
            dollars(each(its.cost_cents, its.bins.households)),
            "–",
        ),
        ("A bin still in use on the last day, of all cost so far", dollars(_per_bin(its)), "–"),
        *_tonne(occasion),
    ]
    return Table(
        key="unit_costs",
        caption="Cost of one",
        columns=(
            Column(heading="Of what"),
            Column(heading="Cost", unit=UNIT, is_number=True),
            Column(heading=f"Range, from that of the {occasion.mass.name}"),
        ),
        rows=tuple(rows),
        note=(
            f"Unpaid hours are not in these. A bin serves for years; the {occasion.mass.name} are those of the period "
            "alone."
        ),
    )


def _per_bin(its: Money) -> int | None:
    return each(its.cost_until_cents, its.in_use)


def _tonne(occasion: Occasion) -> list[tuple[Cell, ...]]:
    """The period's cost by its tonnes; most tonnes make the least a tonne."""
    account, mass = occasion.accounts.period, occasion.mass
    if not account.estimated:
        return []
    bound = account.figure(Measure.LANDFILL_BOUND)
    low, value, high = (
        None if one is None else one / mass.tonnes_each
        for one in (bound.said_lower, bound.headline.value, bound.said_upper)
    )
    cost = per_tonne(occasion.money.cost_cents, tonnes=value or 0.0, low=low, high=high)
    words = f"One of the {mass.name} kept out of landfill in the period"
    if low is None:
        return [(words, dollars(cost.cents), "no interval")]
    most = dollars(cost.high_cents).printed if cost.high_cents is not None else "no limit"
    return [(words, dollars(cost.cents), f"{dollars(cost.low_cents).printed} to {most}")]


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
