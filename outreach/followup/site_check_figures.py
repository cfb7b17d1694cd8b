"""What was seen at households beside what they had answered: counts, and shares with their limits."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Any

from diversion.figures import Share
from diversion.proportions import wilson
from outreach.bins.chunks import in_chunks
from outreach.followup.models import Answer, SiteCheck
from outreach.followup.site_check_phrases import SiteCheckQuerySet
from outreach.places.models import Jurisdiction

# As an answer counts for a quarter: no older than 18 months.
DAYS_AN_ANSWER_TELLS = 548
COMPOSTING, STOPPED, NO_ANSWER = SAID = ("composting", "stopped", "no_answer")
IN_USE, NOT_IN_USE, NOT_SEEN = SEEN = ("in_use", "not_in_use", "not_seen")


@dataclass(frozen=True, slots=True, kw_only=True)
class SaidAndSeen:
    """How many of the drawn households said one thing before the visit, and what was seen there."""

    said: str
    in_use: int = 0
    not_in_use: int = 0
    # Not found, nobody home, declined.
    not_seen: int = 0

    @property
    def all(self) -> int:
        return self.in_use + self.not_in_use + self.not_seen


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """The drawn households that were visited, by what they had said; and how many checks no draw named."""

    rows: tuple[SaidAndSeen, ...]
    outside_a_draw: int = 0

    @property
    def visited(self) -> int:
        """Of the drawn."""
        return sum(row.all for row in self.rows)

    @property
    def agreeing(self) -> Share | None:
        """Of those who had answered and whose bin was seen or seen not in use, the share where both say the same."""
        said, stopped = self.row(COMPOSTING), self.row(STOPPED)
        seen = said.in_use + said.not_in_use + stopped.in_use + stopped.not_in_use
        return wilson(count=said.in_use + stopped.not_in_use, of=seen) if seen else None

    def in_use(self, said: str) -> Share | None:
        """Of the households that had said so and were seen, the share whose bin is in use."""
        row = self.row(said)
        seen = row.in_use + row.not_in_use
        return wilson(count=row.in_use, of=seen) if seen else None

    def row(self, said: str) -> SaidAndSeen:
        return next(row for row in self.rows if row.said == said)

    @classmethod
    def from_dict(cls, data: dict[str, Any]) -> "Comparison":
        rows = tuple(SaidAndSeen(**row) for row in data["rows"])
        return cls(rows=rows, outside_a_draw=data["outside_a_draw"])


def compare(*, since: date, until: date, jurisdiction: Jurisdiction | None = None) -> Comparison:
    """All site checks of a span of days, of one jurisdiction or of all."""
    checks = SiteCheck.objects.visited().made_between(since, until)
    if jurisdiction is not None:
        checks = checks.of_jurisdiction(jurisdiction)
    return compared(checks.drawn(), outside_a_draw=checks.outside_a_draw().count())


def compared(checks: SiteCheckQuerySet, *, outside_a_draw: int = 0) -> Comparison:
    """These visited checks beside what each household had said by the day before."""
    visits = {
        # Two records of one household on one list, merged since, are one visit: the later.
        (check_list, home): (on, outcome)
        for check_list, home, on, outcome in checks.order_by("checked_on", "pk").values_list(
            "list", "counted_under", "checked_on", "outcome"
        )
        if on is not None
    }
    said = SaidBefore.load({home for _list, home in visits})
    counted = Counter(
        (said.by(home, on), outcome if outcome in SEEN else NOT_SEEN)
        for (_list, home), (on, outcome) in visits.items()
    )
    rows = tuple(
        SaidAndSeen(said=words, **{outcome: counted[words, outcome] for outcome in SEEN}) for words in SAID
    )
    return Comparison(rows=rows, outside_a_draw=outside_a_draw)


class SaidBefore:
    """What households said, by the days on which it was in force."""

    def __init__(self, answers: dict[int, list[tuple[int, int, str]]]) -> None:
        self._answers = answers

    @classmethod
    def load(cls, homes: Iterable[int]) -> "SaidBefore":
        found: dict[int, list[tuple[int, int, str]]] = {}
        for ids in in_chunks(sorted(homes)):
            in_force = Answer.objects.recorded_for(ids).exclude(in_force_from_day=0)
            for home, *rest in in_force.values_list(
                "counted_under", "in_force_from_day", "in_force_until_day", "composting"
            ):
                found.setdefault(home, []).append(tuple(rest))  # type: ignore[arg-type]
        return cls(found)

    def by(self, home: int, on: date) -> str:
        """Up to the day before, so that what is said at the door is not compared with what is seen there."""
        before = on.toordinal() - 1
        for first, after, composting in self._answers.get(home, []):
            if first <= before < after and before - first <= DAYS_AN_ANSWER_TELLS:
                return STOPPED if composting == Answer.Composting.STOPPED else COMPOSTING
        return NO_ANSWER
