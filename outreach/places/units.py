"""The secondary unit of an address: 'apt. 4', '#4' and 'Unit 4' are one door."""

import re
from typing import NamedTuple

from outreach.places.postal import DIRECTIONS, DWELLINGS, EVERYDAY, LONE_UNITS, RANGED_UNITS, SUFFIXES

_IDENTIFIER = re.compile(r"^(?:\d+[A-Z]{0,2}|[A-Z]{1,2}\d*|\d+(?:ST|ND|RD|TH))$")
_FLOOR = re.compile(r"^(\d+)(?:ST|ND|RD|TH)$")
LONGEST_BARE = 4  # digits of a unit that stands without a designator


class Unit(NamedTuple):
    """A unit as shown and its key; both empty where there is none."""

    shown: str = ""
    unit_key: str = ""


NO_UNIT = Unit()


def read_unit(text: str) -> Unit:
    """A column of its own: '4', 'Apt 4', 'apt#4' and 'UNIT 04' → key '4'; 'Bldg C Apt 4' → 'BLDG C 4'."""
    words = unit_words(text)
    parts: list[tuple[str, str]] = []
    while words:
        designator, identifier, words = _next_part(words)
        parts.append((designator, identifier))
    return _as_unit(parts)


def split_unit(words: list[str]) -> tuple[list[str], Unit]:
    """Words of a street line → those of the street, and the unit at their end (or at their head)."""
    if len(words) > 2 and words[0] in RANGED_UNITS and words[2][:1].isdigit():
        return words[2:], read_unit(" ".join(words[:2]))
    if len(words) > 2 and words[-1] in RANGED_UNITS and _after_suffix(words, len(words) - 1):
        words = words[:-1]  # 'Apt' with nothing after it
    start = next((at for at in range(2, len(words)) if _begins_a_unit(words, at)), None)
    if start is None:
        return words, NO_UNIT
    return words[:start], read_unit(" ".join(words[start:]))


def is_a_unit(text: str) -> bool:
    """Whether a stretch between commas is a unit: 'Apt 4', '#4', '4B', 'Rear'."""
    words = unit_words(text)
    if not words:
        return False
    if words[0] in RANGED_UNITS:
        return len(words) > 1
    if words[0] in LONE_UNITS or _is_floor(words):
        return True
    return len(words) == 1 and _identifies(words[0]) and _is_short(words[0])


def unit_words(text: str) -> list[str]:
    """Upper-case words, '#' a word of its own, designators cut off their numbers: 'apt4b' → APT, 4B."""
    plain = re.sub(r"[.,;:]+", " ", text.upper()).replace("#", " # ")
    plain = re.sub(r"\b(APT|APARTMENT|UNIT|STE|SUITE|BLDG|LOT|SPC|RM|NO)-?(?=\d)", r"\1 ", plain)
    plain = re.sub(r"(?<=[A-Z0-9])\s*-\s*(?=[A-Z0-9])", "", plain)
    return re.sub(r"[^A-Z0-9#/ ]+", " ", plain).split()


def _next_part(words: list[str]) -> tuple[str, str, list[str]]:
    """The first designator and identifier of what is left, and the rest."""
    if _is_floor(words):
        return "FL", _without_ordinal(words[0]), words[2:]
    head, rest = words[0], words[1:]
    if head in LONE_UNITS:
        identifier = rest[0] if rest and _identifies(rest[0]) and rest[0][0].isdigit() else ""
        return LONE_UNITS[head], identifier, rest[1:] if identifier else rest
    designator = "#"
    while head in RANGED_UNITS and rest:
        designator = RANGED_UNITS[head] if designator == "#" else designator
        head, rest = rest[0], rest[1:]
    identifier = head
    if rest and identifier.isdigit() and len(rest[0]) == 1 and rest[0].isalpha():
        identifier, rest = identifier + rest[0], rest[1:]
    identifier = _without_ordinal(identifier) if designator == "FL" else identifier
    return designator, identifier.lstrip("0") or identifier, rest


def _as_unit(parts: list[tuple[str, str]]) -> Unit:
    shown, keys = [], []
    for designator, identifier in parts:
        word = (
            "#" if designator == "#" else f"{designator.capitalize() if len(designator) > 2 else designator} "
        )
        shown.append(f"{word}{identifier}".strip())
        keys.append(identifier if designator in DWELLINGS else f"{designator} {identifier}".strip())
    return Unit(" ".join(shown), " ".join(key for key in keys if key))


def _begins_a_unit(words: list[str], at: int) -> bool:
    word, rest = words[at], words[at + 1 :]
    after_suffix = _after_suffix(words, at)
    if word == "#":
        return bool(rest)
    if word in RANGED_UNITS and rest and (_identifies(rest[0]) or rest[0] in RANGED_UNITS):
        return after_suffix or any(character.isdigit() for character in rest[0]) or len(rest) == 1
    if not after_suffix:
        return False
    if word in LONE_UNITS or _is_floor(words[at:]):
        return True
    is_bare = not rest and _identifies(word) and word not in DIRECTIONS and word not in SUFFIXES
    return is_bare and _is_short(word) and not _numbers_a_route(words, at)


def _after_suffix(words: list[str], at: int) -> bool:
    """Whether the street is complete before `at`: number, name, suffix, perhaps a direction."""
    before = words[1:at]
    if before and before[-1] in DIRECTIONS:
        before = before[:-1]
    return len(before) > 1 and SUFFIXES.get(before[-1]) in EVERYDAY


def _numbers_a_route(words: list[str], at: int) -> bool:
    before = words[at - 1]
    is_numbered_road = before in {"ROAD", "RD"} and words[at - 2] in {"COUNTY", "CO", "STATE", "FOREST"}
    return SUFFIXES.get(before) in {"HWY", "RTE"} or is_numbered_road


def _is_floor(words: list[str]) -> bool:
    return len(words) > 1 and bool(_FLOOR.match(words[0])) and RANGED_UNITS.get(words[1]) == "FL"


def _without_ordinal(identifier: str) -> str:
    found = _FLOOR.match(identifier)
    return found.group(1) if found else identifier


def _identifies(word: str) -> bool:
    return bool(_IDENTIFIER.match(word.replace("-", "")))


def _is_short(word: str) -> bool:
    return len(word) <= LONGEST_BARE and (word.isdigit() or len(word) == 1 or any(c.isdigit() for c in word))
