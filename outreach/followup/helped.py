"""Does help keep people composting? Those who were advised between two answers, against those who were not.

Both groups said at the earlier answer that they compost, and answered again later: so nobody counts as helped
only because they lasted long enough to ask. Each household counts once, by its two latest such answers. They
chose themselves to ask, which no sum takes out: the difference is no effect.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from itertools import groupby, pairwise
from typing import NamedTuple

from diversion.proportions import ShareDifference, newcombe
from outreach.coaching.models import HelpRequest
from outreach.followup.models import Answer

# Under so many in a group the interval says nothing worth printing; ours.
FEWEST = 5


class Said(NamedTuple):
    """One answer, as the comparison takes it."""

    household_id: int
    on: date
    composts: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """Households with two answers: how many, how many still compost, and the difference where there are enough."""

    helped: int
    helped_kept: int
    others: int
    others_kept: int

    @property
    def difference(self) -> ShareDifference | None:
        """Share of the helped that still compost, less that of the others; None for too few."""
        if min(self.helped, self.others) < FEWEST:
            return None
        return newcombe(first=(self.helped_kept, self.helped), second=(self.others_kept, self.others))


def compare() -> Comparison:
    """Everybody who answered twice, the earlier time as composting."""
    advised = _advised()
    counts = {True: [0, 0], False: [0, 0]}
    for earlier, later in _latest_pairs(_answers()):
        was_helped = any(earlier.on < day <= later.on for day in advised.get(later.household_id, ()))
        counts[was_helped][0] += 1
        counts[was_helped][1] += later.composts
    return Comparison(
        helped=counts[True][0],
        helped_kept=counts[True][1],
        others=counts[False][0],
        others_kept=counts[False][1],
    )


def _advised() -> dict[int, list[date]]:
    """On which days each household was advised or visited about a problem of its own."""
    found: dict[int, list[date]] = {}
    rows = HelpRequest.objects.advised_problems().values_list("counted_under", "advised_on")
    for household_id, day in rows:
        if day is not None:
            found.setdefault(household_id, []).append(day)
    return found


def _answers() -> Iterator[Said]:
    rows = Answer.objects.counting().order_by("counted_under", "answered_on", "pk")
    for household_id, on, composting in rows.values_list(
        "counted_under", "answered_on", "composting"
    ).iterator():
        yield Said(household_id, on, composting != Answer.Composting.STOPPED)


def _latest_pairs(said: Iterable[Said]) -> Iterator[tuple[Said, Said]]:
    """Of each household the two latest answers in a row of which the earlier says that it composts."""
    for _household, theirs in groupby(said, key=lambda one: one.household_id):
        pairs = [(a, b) for a, b in pairwise(theirs) if a.composts and a.on < b.on]
        if pairs:
            yield pairs[-1]
