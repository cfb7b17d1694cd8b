"""When in the day something starts, as titles and file names write it: '10:00', '2 pm', 'afternoon session'."""

import re
from dataclasses import dataclass
from datetime import datetime, time
from functools import cache

from outreach.intake.sheets import Value, as_text
from outreach.intake.vocabulary import fold, vocabulary

NOON = 12
# '2:00' at a workshop is two in the afternoon; common practice, no source.
EARLIEST_MORNING = 8
_MERIDIEM = r"(?:\s*(?P<{0}>[ap])\.?\s?m\b\.?)"
_TO = r"\s*(?:[-–—]|to|a|until|hasta)\s*"
_CLOCK = r"(?P<{0}>\d{{1,2}})(?:[:.h](?P<{1}>[0-5]\d))?(?::[0-5]\d)?"
_HOURS = re.compile(
    rf"(?<![\d/:.,-]){_CLOCK.format('hour', 'minute')}{_MERIDIEM.format('half')}?"
    rf"(?:{_TO}{_CLOCK.format('end', 'end_minute')}{_MERIDIEM.format('end_half')}?)?"
    r"(?:\s?h(?:rs?|oras?)?\b\.?)?(?![\d/:])",
    re.I,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Start:
    """The hour at which something starts, or only the part of the day; neither where nothing is said."""

    at: time | None = None
    part: str = ""

    @property
    def in_words(self) -> str:
        """As a person may write it again."""
        return f"{self.at:%H:%M}" if self.at else self.part

    def __bool__(self) -> bool:
        return self.at is not None or bool(self.part)


NOT_SAID = Start()


def read_start(value: Value) -> Start:
    """The start that a cell says and nothing else: a time, '2 pm', '10-11:30 am', 'morning'."""
    if isinstance(value, time):
        return Start(at=value.replace(second=0, microsecond=0))
    if isinstance(value, datetime):
        return (
            Start(at=value.time().replace(second=0, microsecond=0)) if value.time() != time(0) else NOT_SAID
        )
    start, rest = find_start(as_text(value))
    return start if start.at or not rest.strip(" |,-") else NOT_SAID


def find_start(text: str) -> tuple[Start, str]:
    """The first hours in a text, or else the part of the day at its end; and the text without all of them."""
    found = [match for match in _HOURS.finditer(text) if _says_hours(match)]
    starts = [at for at in map(_hour_of, found) if at is not None]
    for match in reversed(found):
        text = f"{text[: match.start()]} | {text[match.end() :]}"
    if starts:
        return Start(at=starts[0]), text
    part, rest = without_part_of_day(text)
    return Start(part=part), rest


def without_part_of_day(text: str) -> tuple[str, str]:
    """'Granary Hall, afternoon' → afternoon; 'Morning Glory Hall' is a name."""
    words = text.split()
    if words and (part := parts_by_word().get(fold(words[-1].strip("()[],;.|-–—")))):
        return part, " ".join(words[:-1]).rstrip(" ,;|-–—(")
    return "", text


@cache
def parts_by_word() -> dict[str, str]:
    return {word: part for part, said in vocabulary()["parts_of_day"].items() for word in said}


def _says_hours(match: re.Match[str]) -> bool:
    """With minutes, or with am or pm; a bare number is none."""
    is_half = bool(match["half"] or match["end_half"])
    is_clock = bool(match["minute"] or match["end_minute"]) and ("." not in match.group() or is_half)
    ends_in_h = re.search(r"\d\s?h(?:rs?|oras?)?\.?$", match.group(), re.I)
    return bool(is_clock or is_half or ends_in_h)


def _hour_of(match: re.Match[str]) -> time | None:
    hour, minute = int(match["hour"]), int(match["minute"] or 0)
    half = (match["half"] or match["end_half"] or "").lower()
    if (
        not match["half"]
        and half
        and match["end"]
        and _in_half(hour, half) > _in_half(int(match["end"]), half)
    ):
        half = "a"  # '11-1 pm' starts before noon
    if half:
        hour = _in_half(hour, half)
    elif 0 < hour < EARLIEST_MORNING:
        hour += NOON
    return time(hour, minute) if hour < 24 else None


def _in_half(hour: int, half: str) -> int:
    return hour % NOON + (NOON if half == "p" else 0) if hour <= NOON else hour


def parts_of(at: time) -> frozenset[str]:
    """Which parts of the day people call that hour; some are called by two names."""
    said = {"morning": at.hour < NOON, "afternoon": NOON <= at.hour < 20, "evening": at.hour >= 16}
    return frozenset(part for part, fits in said.items() if fits)
