"""What was done in a period, counted from the records: workshops, people, bins, answers, exceptions."""

from dataclasses import dataclass
from datetime import date

from outreach.bins import counting as bins_counting
from outreach.filings.gathering import Scope
from outreach.followup import counting as answers_counting
from outreach.workshops import counting as workshops_counting


@dataclass(frozen=True, slots=True, kw_only=True)
class PeriodCounts:
    """Counts of one period. People and households are unduplicated within it, so periods do not add up."""

    workshops: int
    attendances: int
    people: int
    households_met: int
    outside_area: int
    unlisted: int
    bins: int
    bins_by_family: tuple[tuple[str, int], ...]
    households_with_new_bin: int
    answers: int
    exceptions: tuple[tuple[str, int, int], ...]
    answers_in_review: int


def count_period(first_day: date, last_day: date, *, scope: Scope) -> PeriodCounts:
    met = workshops_counting.counts_between(first_day, last_day, jurisdiction=scope.jurisdiction)
    bins = bins_counting.counts_between(first_day, last_day, jurisdiction=scope.jurisdiction)
    answers = answers_counting.counts_between(first_day, last_day, jurisdiction=scope.jurisdiction)
    return PeriodCounts(
        workshops=met.workshops,
        attendances=met.attendances,
        people=met.people,
        households_met=met.households,
        outside_area=met.outside_area,
        unlisted=met.unlisted,
        bins=bins.bins,
        bins_by_family=bins.by_family,
        households_with_new_bin=bins.households,
        answers=answers.answers,
        exceptions=bins.exceptions,
        answers_in_review=answers.in_review,
    )
