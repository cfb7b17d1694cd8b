"""What would make a filing claim more than the records carry, each with what to do about it.

Findings never change a figure. They stand on the review page and in the filing until what they name is
mended or explained.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from diversion.errors import require_within
from diversion.factors import FactorSet
from diversion.rounding import counted
from diversion.settings import LOW_RESPONSE, SHORT_INTERVAL_UNDER, WHOLE_PERCENT


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One thing that would over-claim.

    Parameters
    ----------
    code : str
        Stable, for lists and tests.
    headline : str
        What is the case, in a sentence.
    what_to_do : str
        What mends it, in a sentence.
    figures : tuple of (str, float)
        The numbers behind the sentence.
    """

    code: str
    headline: str
    what_to_do: str
    figures: tuple[tuple[str, float], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class FilingFacts:
    """What the findings look at; counts are of the period, at least 0.

    Parameters
    ----------
    workshops_not_closed : tuple of str
        Names and dates of workshops of the period that were not closed.
    stock_counts : int
        Times that stock was counted anywhere in the period.
    bins_moved : int
        Bins that moved in the period; without any there was nothing to count.
    exceptions_without_reason : int
    yard_claimed_where_banned : tuple of str
        Jurisdictions that ban yard trimmings from trash and still have landfill-bound trimmings in the
        figure.
    prior_counted_as_new : int
        Households in the additional figure of whom another record says that they composted before.
    answers_in_review : int
        Contradictory, absurd or unreadable answers that wait and are not in the figure.
    gross_kg_per_active_household_year : float or None
        Gross put into the bin, per household still composting, scaled to a year; None without an estimate.
    households_asked, answers : int
    factor_set, latest_factor_set : FactorSet
    household_weeks_funded_twice : float
        Of homes with bins that more than one funding source paid for, which each could claim.
    estimate, lower, upper : float or None
        The headline figure and its 90 % limits; None without.
    """

    workshops_not_closed: tuple[str, ...]
    stock_counts: int
    bins_moved: int
    exceptions_without_reason: int
    yard_claimed_where_banned: tuple[str, ...]
    prior_counted_as_new: int
    answers_in_review: int
    gross_kg_per_active_household_year: float | None
    households_asked: int
    answers: int
    factor_set: FactorSet
    latest_factor_set: FactorSet
    household_weeks_funded_twice: float
    estimate: float | None
    lower: float | None
    upper: float | None

    def __post_init__(self) -> None:
        for name in (
            "stock_counts",
            "bins_moved",
            "exceptions_without_reason",
            "prior_counted_as_new",
            "answers_in_review",
            "households_asked",
            "answers",
            "household_weeks_funded_twice",
        ):
            require_within(name, getattr(self, name), 0)


def findings(facts: FilingFacts) -> tuple[Finding, ...]:
    """Everything that would over-claim, records first, then the estimate.

    Parameters
    ----------
    facts : FilingFacts

    Returns
    -------
    tuple of Finding
        Empty where nothing was found.
    """
    return (*_of_records(facts), *_of_claims(facts), *_of_estimate(facts))


def _of_records(facts: FilingFacts) -> Iterator[Finding]:
    if facts.workshops_not_closed:
        yield Finding(
            code="workshop-not-closed",
            headline=f"Not closed yet: {', '.join(facts.workshops_not_closed)}.",
            what_to_do="Close them after checking headcount, handouts and what came back in the van.",
            figures=(("workshops", len(facts.workshops_not_closed)),),
        )
    if facts.bins_moved and not facts.stock_counts:
        yield Finding(
            code="stock-not-counted",
            headline=f"{counted(facts.bins_moved, 'bin')} moved in the period, but stock was counted nowhere.",
            what_to_do="Count every place once and enter the count; the ledger shows what is missing.",
            figures=(("bins moved", facts.bins_moved),),
        )
    if facts.exceptions_without_reason:
        yield Finding(
            code="exception-without-reason",
            headline=_some(facts.exceptions_without_reason, "exception", _NO_REASON),
            what_to_do="Give each its reason and who allowed it, or undo the handout.",
            figures=(("exceptions", facts.exceptions_without_reason),),
        )
    if facts.answers_in_review:
        yield Finding(
            code="answers-in-review",
            headline=_some(facts.answers_in_review, "answer", _IN_REVIEW),
            what_to_do="Ask these households again, or decide each with a note.",
            figures=(("answers in review", facts.answers_in_review),),
        )


def _of_claims(facts: FilingFacts) -> Iterator[Finding]:
    if facts.yard_claimed_where_banned:
        yield Finding(
            code="yard-where-banned",
            headline=(
                "Landfill-bound trimmings are claimed where trimmings are banned from trash: "
                f"{', '.join(facts.yard_claimed_where_banned)}."
            ),
            what_to_do="Mark the ban in the landfill settings, or explain why trimmings reach the landfill.",
            figures=(("jurisdictions", len(facts.yard_claimed_where_banned)),),
        )
    if facts.prior_counted_as_new:
        yield Finding(
            code="prior-counted-as-new",
            headline=_some(facts.prior_counted_as_new, "household", _COUNTED_AS_NEW),
            what_to_do=(
                "Compare the records merged into them and their sign-ups, and correct 'composting before the bin': "
                "the tonnes of those who composted before are not additional."
            ),
            figures=(("households", facts.prior_counted_as_new),),
        )
    yield from _of_choices(facts)


def _of_choices(facts: FilingFacts) -> Iterator[Finding]:
    if facts.household_weeks_funded_twice:
        yield Finding(
            code="funded-twice",
            headline=(
                "More than one funding source could claim "
                f"{counted(max(1, round(facts.household_weeks_funded_twice)), 'household-week')}: each paid for a bin "
                "of these homes."
            ),
            what_to_do=(
                "They are counted once, under the source of the first bin. Say so to the other funders, or mend the "
                "order that a bin came from."
            ),
            figures=(("household-weeks", facts.household_weeks_funded_twice),),
        )
    if facts.factor_set != facts.latest_factor_set:
        yield Finding(
            code="factor-set-outdated",
            headline=f"Factor set {facts.factor_set.name} is not the latest, {facts.latest_factor_set.name}.",
            what_to_do="Use the latest for a new filing; keep the old one only to compare with an old filing.",
        )


def _of_estimate(facts: FilingFacts) -> Iterator[Finding]:
    if facts.households_asked and facts.answers < LOW_RESPONSE * facts.households_asked:
        share = facts.answers / facts.households_asked
        yield Finding(
            code="few-answered",
            headline=f"{share * WHOLE_PERCENT:.0f} % of the households asked have an answer in force.",
            what_to_do="Call the households that planning lists first, or chase a random few of the silent.",
            figures=(("response rate", share), ("asked", facts.households_asked)),
        )
    if facts.answers < SHORT_INTERVAL_UNDER:
        yield Finding(
            code="few-answers",
            headline=f"The figure rests on {counted(facts.answers, 'answer')}; its interval is likely too short.",
            what_to_do=f"Gather {counted(SHORT_INTERVAL_UNDER - facts.answers, 'more answer')} before relying on it.",
            figures=(("answers", facts.answers),),
        )
    highest = facts.factor_set["plausible.weighed-household"]
    gross = facts.gross_kg_per_active_household_year
    if gross is not None and gross > highest.value:
        yield Finding(
            code="above-highest-weighed",
            headline=(
                f"{gross:,.0f} kg a year per household still composting is above the highest weighed mean, "
                f"{highest.value:,.0f} kg ({highest.source}, {highest.year})."
            ),
            what_to_do="Look for volumes in the wrong unit or month for week; weigh with some households.",
            figures=(("kg per active household a year", gross), ("highest weighed", highest.value)),
        )
    yield from _of_interval(facts)


def _of_interval(facts: FilingFacts) -> Iterator[Finding]:
    if facts.estimate is None or facts.lower is None or facts.upper is None:
        return
    width = facts.upper - facts.lower
    if width > abs(facts.estimate):
        yield Finding(
            code="interval-wider-than-estimate",
            headline="The interval is wider than the estimate itself.",
            what_to_do="State the range and not the figure; planning says how many more answers would help.",
            figures=(("estimate", facts.estimate), ("width", width)),
        )


# What is said of one, and of several.
_NO_REASON = ("to the rule has no reason.", "to the rule have no reason.")
_IN_REVIEW = ("waits in review and is not in the figure.", "wait in review and are not in the figure.")
_COUNTED_AS_NEW = (
    "that composted before is counted as new.",
    "that composted before are counted as new.",
)


def _some(count: int, one: str, said: tuple[str, str]) -> str:
    """A count with its word and what is said of one, or of several."""
    return f"{counted(count, one)} {said[count != 1]}"
