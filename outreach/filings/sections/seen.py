"""Site checks: what was seen at households drawn at random, beside what they had answered."""

from collections.abc import Iterator

from diversion.figures import Share
from diversion.rounding import counted, printed_share
from outreach.filings.masses import number
from outreach.filings.occasion import Occasion
from outreach.filings.report import Cell, Column, Number, Section, Table
from outreach.followup.site_check_figures import COMPOSTING, NO_ANSWER, STOPPED, Comparison, SaidAndSeen

WORDS = {COMPOSTING: "that they compost", STOPPED: "that they stopped", NO_ANSWER: "nothing"}


def what_was_seen(occasion: Occasion) -> tuple[Section, ...]:
    """Nothing where nobody was visited."""
    found = occasion.inputs.site_checks
    if found is None or not (found.visited or found.outside_a_draw):
        return ()
    return (
        Section(
            key="site_checks",
            heading="Site checks",
            paragraphs=tuple(_in_words(found)),
            tables=(_table(found), _shares(found)) if found.visited else (),
        ),
    )


def _in_words(found: Comparison) -> Iterator[str]:
    if found.visited:
        yield (
            f"{counted(found.visited, 'household')} drawn at random {'was' if found.visited == 1 else 'were'} "
            "visited by someone who did not know what they had answered. A bin seen not in use counts as used until "
            "that day."
        )
    if found.agreeing is not None:
        share = found.agreeing
        yield (
            f"What was seen agrees with the last answer before the visit at {share.count:,} of {share.of:,} "
            f"households, {printed_share(share.share)} (90 % limits {printed_share(share.lower)} to "
            f"{printed_share(share.upper)}, Wilson). Households where nothing could be seen are not in it."
        )
    if found.outside_a_draw:
        yield f"{counted(found.outside_a_draw, 'more site check')} outside a draw; in none of the shares."


def _table(found: Comparison) -> Table:
    return Table(
        key="site_checks",
        caption="What households had said, and what was seen",
        columns=(
            Column(heading="They had said"),
            Column(heading="Seen in use", is_number=True),
            Column(heading="Seen not in use", is_number=True),
            Column(heading="Not seen", is_number=True),
            Column(heading="All", is_number=True),
        ),
        rows=tuple(_row(row) for row in found.rows),
        total=(
            "All",
            *(
                number(sum(getattr(row, name) for row in found.rows))
                for name in ("in_use", "not_in_use", "not_seen", "all")
            ),
        ),
        note="Not seen: the bin was not found, nobody was home, or the household declined.",
    )


def _row(row: SaidAndSeen) -> tuple[Cell, ...]:
    return WORDS[row.said], *(number(count) for count in (row.in_use, row.not_in_use, row.not_seen, row.all))


def _shares(found: Comparison) -> Table:
    """The share in use among those who said each thing; of those who said nothing it tells of the silent."""
    return Table(
        key="site_checks_shares",
        caption="Seen in use, of the households where it could be seen",
        columns=(
            Column(heading="They had said"),
            Column(heading="Households", is_number=True),
            Column(heading="In use", is_number=True),
            Column(heading="90 % from", is_number=True),
            Column(heading="90 % to", is_number=True),
        ),
        rows=tuple(_share(words, found.in_use(said)) for said, words in WORDS.items()),
    )


def _share(words: str, share: Share | None) -> tuple[Cell, ...]:
    if share is None:
        return words, number(0), number(None), number(None), number(None)
    values = (share.share, share.lower, share.upper)
    return words, number(share.of), *(Number(value=one, printed=printed_share(one)) for one in values)
