"""Date, venue and city of a workshop from title rows, the sheet's name or the file's name."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date, time
from functools import cache
from typing import Any, Self

from outreach.intake.dates import find_date, read_date
from outreach.intake.hours import NOT_SAID, Start, find_start, read_start, without_part_of_day
from outreach.intake.sheets import SheetRow, as_text
from outreach.intake.vocabulary import fold, vocabulary, words_of
from outreach.places.serving import PlacesList

_PARTS = re.compile(r"\s+[-–—|@•]\s+|\s*[|;•]\s*|\s+(?:at|en)\s+(?=[A-ZÁÉÍÓÚÑ])|\s{3,}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Occasion:
    """When and where, as far as a title says it; and which workshop on record that is, where a person said it."""

    held_on: date | None = None
    start: Start = NOT_SAID
    venue: str = ""
    city: str = ""
    # Only the name of the file names the venue; its words may be any.
    is_venue_guessed: bool = False
    workshop_id: int | None = None

    def or_else(self, other: "Occasion") -> "Occasion":
        """What this one says, completed by another."""
        return Occasion(
            held_on=self.held_on or other.held_on,
            start=self.start or other.start,
            venue=self.venue or other.venue,
            city=self.city or other.city,
            is_venue_guessed=self.is_venue_guessed if self.venue else other.is_venue_guessed,
            workshop_id=self.workshop_id or other.workshop_id,
        )

    def as_json(self) -> dict[str, Any]:
        return {
            "held_on": self.held_on.isoformat() if self.held_on else "",
            "starts_at_time": self.start.at.isoformat("minutes") if self.start.at else "",
            "part_of_day": self.start.part,
            "venue": self.venue,
            "city": self.city,
            "is_venue_guessed": self.is_venue_guessed,
            "workshop": self.workshop_id,
        }

    @classmethod
    def from_json(cls, stored: Mapping[str, Any]) -> Self:
        """What was kept, also before starts of workshops were read."""
        held_on, starts = stored["held_on"], stored.get("starts_at_time", "")
        return cls(
            held_on=date.fromisoformat(held_on) if held_on else None,
            start=Start(
                at=time.fromisoformat(starts) if starts else None, part=stored.get("part_of_day", "")
            ),
            venue=stored["venue"],
            city=stored["city"],
            is_venue_guessed=stored.get("is_venue_guessed", False),
            workshop_id=stored.get("workshop"),
        )


def occasion_from_rows(rows: Iterable[SheetRow], places: PlacesList, *, since_1904: bool = False) -> Occasion:
    """What labelled cells say first ('Date: 3 May'), then what stands in titles without a label.

    Of several titles the one that names a venue on record names the venue.
    """
    rows = list(rows)
    occasion = Occasion()
    for row in rows:
        occasion = occasion.or_else(labelled(row, places, since_1904=since_1904))
    free = [occasion_from_text(text, places) for row in rows for text in _unlabelled(row)]
    for said in sorted(free, key=lambda one: not places.knows_venue(one.venue)):
        occasion = occasion.or_else(replace(said, held_on=None, start=NOT_SAID))
    for said in free:
        occasion = occasion.or_else(said)
    return occasion


def _unlabelled(row: SheetRow) -> list[str]:
    """The cells that are neither labelled nor the value beside a label."""
    free, follows_label = [], False
    for cell in row.filled:
        labels = _labels_in(as_text(cell))
        if not labels and not follows_label:
            free.append(as_text(cell))
        follows_label = bool(labels) and not labels[-1][1]
    return free


def occasion_from_file_name(name: str, places: PlacesList) -> Occasion:
    """From the name of a file or sheet, in which blanks may be underscores and the city just follows."""
    stem = re.sub(r"\.(xlsx|csv|txt|tsv)$", "", name.replace("\\", "/").rpartition("/")[2], flags=re.I)
    said = occasion_from_text(re.sub(r"(?<=\D)[_+]+|[_+]+(?=\D)", " ", stem), places)
    said = replace(said, is_venue_guessed=bool(said.venue))
    words = said.venue.split()
    for length in range(1, len(words) - 1):
        tail = " ".join(words[-length:])
        if not said.city and fold(places.city_named(tail)) == fold(tail):
            return replace(said, venue=" ".join(words[:-length]).rstrip(" ,-"), city=places.city_named(tail))
    return said


def labelled(row: SheetRow, places: PlacesList, *, since_1904: bool = False) -> Occasion:
    """'Date:' beside or in front of its value, 'Location:' likewise."""
    occasion = Occasion()
    cells = row.filled
    for position, cell in enumerate(cells):
        for label, value in _labels_in(as_text(cell)):
            following = cells[position + 1] if position + 1 < len(cells) else None
            if not value and (following is None or _labels_in(as_text(following))):
                continue
            read = _read_labelled(label, value or following, places, since_1904)
            occasion = occasion.or_else(read)
    return occasion


def _read_labelled(label: str, value: object, places: PlacesList, since_1904: bool) -> Occasion:
    text = as_text(value)  # type: ignore[arg-type]
    if label == "date":
        on = read_date(value, since_1904=since_1904)  # type: ignore[arg-type]
        return Occasion(held_on=on, start=_beside_the_date(text))
    if label == "starts":
        return Occasion(start=read_start(value))  # type: ignore[arg-type]
    if label == "city":
        return Occasion(city=places.city_named(text) or text)
    if label == "venue":
        start, rest = find_start(text)
        venue, city = split_city(rest.strip(" |,;-"), places)
        return Occasion(start=start, venue=venue, city=city)
    return Occasion()


def _beside_the_date(text: str) -> Start:
    found = find_date(text)
    return find_start(found[1])[0] if found else NOT_SAID


@cache
def _label_pattern() -> re.Pattern[str]:
    words = sorted(
        (word for group in vocabulary()["labels"].values() for word in group), key=len, reverse=True
    )
    return re.compile(rf"(?:^|(?<=\s))({'|'.join(map(re.escape, words))})\s*[:：]\s*", re.I)


def _labels_in(text: str) -> list[tuple[str, str]]:
    """Pairs of what is labelled and the words after it; a bare 'Date' is a label too."""
    kinds = {word: kind for kind, group in vocabulary()["labels"].items() for word in group}
    found = list(_label_pattern().finditer(text))
    pairs = []
    ends = [*(match.start() for match in found[1:]), len(text)]
    for match, end in zip(found, ends, strict=False):
        pairs.append((kinds[fold(match[1])], text[match.end() : end].strip(" ,;|-")))
    if not pairs and fold(text) in kinds:
        pairs.append((kinds[fold(text)], ""))
    return pairs


def occasion_from_text(text: str, places: PlacesList) -> Occasion:
    """'Composting workshop at Granary Hall, Brackenford - March 3, 2025, 10:00' → day, start, venue, city."""
    found = find_date(text)
    start, rest = find_start(_without_weekday(found[1]) if found else text)
    said = []
    for part in filter(None, map(_without_generic_ends, _PARTS.split(rest))):
        of_day, name = without_part_of_day(part)
        start = start or Start(part=of_day)
        venue, city = split_city(_without_generic_ends(name), places)
        said.append(Occasion(venue=venue, city=city))
    occasion = Occasion(held_on=found[0] if found else None, start=start)
    for one in sorted(said, key=lambda one: not places.knows_venue(one.venue)) if len(said) > 1 else said:
        occasion = occasion.or_else(one)
    return occasion


def _without_weekday(rest: str) -> str:
    """What stands beside a date, which is now ' | ', without its weekday."""
    days = "|".join(sorted(words_of("weekdays", "words"), key=len, reverse=True))
    return re.sub(rf"\b(?:{days})\b[.,\s]*(?= \| )|(?<= \| )[\s,(]*(?:{days})\b[.)]?", "", rest, flags=re.I)


def _without_generic_ends(part: str) -> str:
    """The words of a title without those at its ends that name no place."""
    words = part.strip(" ,;|-_()").split()
    while words and _is_generic(words[0]):
        words = words[1:]
    while words and _is_generic(words[-1]):
        words = words[:-1]
    return " ".join(words).strip(" ,;|-_()")


def _is_generic(word: str) -> bool:
    folded = fold(word)
    return not folded or folded.isdigit() or all(w in words_of("generic", "words") for w in folded.split())


def split_city(text: str, places: PlacesList) -> tuple[str, str]:
    """'Granary Hall, Brackenford' → venue and city, where the last part is a place that is served."""
    if city := places.city_named(text):
        return "", city
    head, comma, tail = text.rpartition(",")
    if comma and (city := places.city_named(tail.strip())):
        return head.strip(" ,"), city
    bare = re.sub(r",\s*[A-Z]{2}(\s+\d{5})?\s*$", "", text)
    if bare != text:
        return split_city(bare, places)
    return text.strip(), ""


def with_city_of_venue_name(occasion: Occasion, places: PlacesList) -> Occasion:
    """'Brackenford Library' lies in Brackenford, where nothing else says so."""
    if occasion.city or not occasion.venue:
        return occasion
    words = fold(occasion.venue).split()
    named = {place.city_name for place in places.places if _within(fold(place.city_name).split(), words)}
    return replace(occasion, city=named.pop()) if len(named) == 1 else occasion


def _within(part: list[str], whole: list[str]) -> bool:
    return any(whole[i : i + len(part)] == part for i in range(len(whole) - len(part) + 1))
