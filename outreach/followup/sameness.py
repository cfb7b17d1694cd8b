"""Is this answer already recorded? Sent twice is one answer; a different one on the same day is a doubt.

Two answers of a household are the same when they say the same and belong to the same wave (without a
wave: were given on the same day). Of the same answer sent on two days the earlier day stands, whichever
came in first. An answer that was corrected or set aside is remembered: taking its paper in again adds nothing.
"""

from collections import defaultdict
from collections.abc import Iterable
from datetime import date
from operator import attrgetter

from outreach.followup.models import Answer

SAYS = (
    "composting",
    "stopped_on",
    "why_stopped",
    "food_ml_per_week",
    "food_g_per_week",
    "yard_ml_per_week",
    "yard_g_per_week",
    "browns_ml_per_week",
    "food_trash_percent",
    "food_composted_percent",
    "yard_trash_percent",
    "yard_composted_percent",
    "problems",
    "wants_help",
    "harvested",
    "remarks",
)
READINGS = attrgetter(*SAYS)
UNREAD = (
    ("food_as_written", "food_ml_per_week", "food_g_per_week"),
    ("yard_as_written", "yard_ml_per_week", "yard_g_per_week"),
    ("before_as_written", "food_trash_percent", "yard_trash_percent"),
)


def what_it_says(answer: Answer) -> tuple[object, ...]:
    """Its readings; words count only where they were not read ('2 gal' and '2 gallons' are the same)."""
    readings = READINGS(answer)
    words = tuple(
        ""
        if any(getattr(answer, name) is not None for name in read)
        else getattr(answer, text).strip().lower()
        for text, *read in UNREAD
    )
    return readings + words


class KnownAnswers:
    """The answers of some households, in the order they were recorded, with the wave of each by its day."""

    def __init__(self, answers: Iterable[tuple[Answer, int | None]]) -> None:
        self.of_root: dict[int, list[Answer]] = defaultdict(list)
        self._same: dict[tuple[object, ...], Answer] = {}
        self._on_day: dict[tuple[int, date], Answer] = {}
        self._waves: set[tuple[int, int]] = set()
        for answer, wave_id in answers:
            self.add(answer, wave_id)

    def add(self, answer: Answer, wave_id: int | None) -> None:
        """Remember one, and the wave that its day falls into."""
        self.of_root[answer.counted_under_id].append(answer)
        self._same.setdefault(self._key(answer, wave_id), answer)
        if answer.is_current:
            self._on_day.setdefault((answer.counted_under_id, answer.answered_on), answer)
            if answer.wave_id is not None:
                self._waves.add((answer.household_id, answer.wave_id))

    def same_as(self, answer: Answer, wave_id: int | None) -> Answer | None:
        return self._same.get(self._key(answer, wave_id))

    def on_same_day(self, answer: Answer) -> Answer | None:
        """A current one of the household from that day, which then says something else."""
        return self._on_day.get((answer.counted_under_id, answer.answered_on))

    def has_answered(self, household_id: int, wave_id: int) -> bool:
        return (household_id, wave_id) in self._waves

    @staticmethod
    def _key(answer: Answer, wave_id: int | None) -> tuple[object, ...]:
        when = answer.answered_on if wave_id is None else wave_id
        return (answer.counted_under_id, when, *what_it_says(answer))
