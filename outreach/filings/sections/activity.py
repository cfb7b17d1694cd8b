"""What was done: workshops, people, bins; and who answered."""

from django.utils.text import capfirst

from diversion.rounding import printed_share
from outreach.filings.masses import number
from outreach.filings.occasion import Occasion
from outreach.filings.report import Bar, Cell, Chart, Column, Number, Section, Table

COUNTED = (
    ("workshops", "Workshops held"),
    ("attendances", "Attendances"),
    ("people", "People, each counted once"),
    ("households_met", "Households at workshops, each counted once"),
    ("outside_area", "Attendances from places not served"),
    ("unlisted", "People in the room who are on no list"),
    ("bins", "Bins that went home"),
    ("households_with_new_bin", "Households that took one"),
    ("answers", "Follow-up answers received"),
)
NOT_ADDED = (
    "People and households are counted once in each period, so quarters do not add up to the year: someone who "
    "came in two quarters counts in both, and once in the year."
)


def done(occasion: Occasion) -> Section:
    return Section(
        key="activity",
        heading="What was done",
        paragraphs=(NOT_ADDED,),
        tables=(_activity(occasion), _bins(occasion)),
        charts=_bins_chart(occasion),
    )


def _activity(occasion: Occasion) -> Table:
    return Table(
        key="activity",
        caption="Workshops, people and bins",
        columns=(
            Column(heading="What"),
            Column(heading=occasion.period.code, is_number=True),
            Column(heading=capfirst(occasion.year_in_words), is_number=True),
        ),
        rows=tuple(
            (
                words,
                number(getattr(occasion.counts, name)),
                number(getattr(occasion.counts_to_date, name)),
            )
            for name, words in COUNTED
        ),
    )


def _bins(occasion: Occasion) -> Table:
    to_date = dict(occasion.counts_to_date.bins_by_family)
    in_quarter = dict(occasion.counts.bins_by_family)
    return Table(
        key="bins",
        caption="Bins that went home, by family",
        columns=(
            Column(heading="Family"),
            Column(heading=occasion.period.code, is_number=True),
            Column(heading="Year to date", is_number=True),
        ),
        rows=tuple(
            (family, number(in_quarter.get(family, 0)), number(count)) for family, count in to_date.items()
        ),
        total=("All", number(occasion.counts.bins), number(occasion.counts_to_date.bins)),
    )


def _bins_chart(occasion: Occasion) -> tuple[Chart, ...]:
    families = occasion.counts_to_date.bins_by_family
    if not families:
        return ()
    words = ", ".join(f"{family} {count}" for family, count in families)
    return (
        Chart(
            key="bins",
            caption="Bins that went home in the year to date, by family",
            unit="bins",
            bars=tuple(Bar(label=family, value=count, printed=f"{count:,}") for family, count in families),
            alt=f"Bar chart of bins in the year to date: {words}.",
        ),
    )


def answered(occasion: Occasion) -> Section:
    """Households, answers and response: they stand even where no tonnes can be estimated."""
    return Section(
        key="response",
        heading="Who answered",
        paragraphs=(
            "Households not yet asked are those for whom no follow-up wave has come due; they are outside the "
            "response rate and estimated like the rest of their stratum.",
        ),
        tables=(
            Table(
                key="response",
                caption="Households with a bin, and their answers in force",
                columns=(
                    Column(heading="Quarter"),
                    Column(heading="Households with a bin", is_number=True),
                    Column(heading="Household-weeks", is_number=True),
                    Column(heading="Not yet asked", is_number=True),
                    Column(heading="Answers in force", is_number=True),
                    Column(heading="Still composting", is_number=True),
                    Column(heading="Response", is_number=True),
                    Column(heading="90 % interval of the response"),
                ),
                rows=tuple(_response_rows(occasion)),
            ),
        ),
    )


def _response_rows(occasion: Occasion) -> list[tuple[Cell, ...]]:
    rows: list[tuple[Cell, ...]] = []
    account = occasion.accounts.year_to_date
    for part, counts in zip(occasion.year_to_date.slices, account.counts, strict=True):
        response = counts.response
        rows.append(
            (
                part.name,
                number(counts.households),
                Number(value=counts.household_weeks, printed=f"{counts.household_weeks:,.0f}"),
                number(counts.unasked_households),
                number(counts.answers),
                number(counts.still_composting),
                Number(
                    value=response.share if response else None,
                    printed=printed_share(response.share if response else None),
                ),
                f"{printed_share(response.lower)} to {printed_share(response.upper)}" if response else "–",
            )
        )
    return rows
