"""The street line of an address → its key, in the spelling of USPS Publication 28, and a shown form."""

import re

from outreach.places.postal import DIRECTIONS, ORDINALS, SUFFIX_IN_FULL, SUFFIXES, TENS, ordinal

_ROUTES = {
    "SR": ["STATE", "ROUTE"],
    "CR": ["COUNTY", "ROAD"],
    "HWY": ["HIGHWAY"],
    "RTE": ["ROUTE"],
    "RT": ["ROUTE"],
}
_BEFORE_A_ROUTE = {"CO": "COUNTY", "CNTY": "COUNTY", "ST": "STATE"}
_PLAIN_NUMBER = re.compile(r"^\d+$")
_ORDINAL = re.compile(r"^\d+(ST|ND|RD|TH)$")
# An interior 'St' is Saint and 'Dr' may be Doctor; both are left to their own rule.
_LEFT_INSIDE = {"ST", "DR"}


def street_key_of(words: list[str]) -> str:
    """Upper-case words, the house number first → the key: '12 NORTH MAIN STREET' → '12 N MAIN ST'."""
    number, name = _house_number(words)
    name = _with_routes(_with_ordinals(name))
    before, name = _leading_direction(name)
    name, after = _closing_direction(name)
    name, suffix = _suffix(name)
    return " ".join([number, *before, *_inside(name, has_suffix=bool(suffix)), *suffix, *after]).strip()


def shown_street(key: str, written: list[str]) -> str:
    """A key in ordinary letters, with the person's own spelling where theirs was mixed ('McKay')."""
    own = {plain_word(word): word for word in written if not word.isupper() and not word.islower()}
    return " ".join(_shown_word(word, own, is_first=at == 0) for at, word in enumerate(key.split()))


def plain_word(word: str) -> str:
    """A word as the rules compare it: O'Dell → ODELL."""
    return word.upper().replace("'", "")


def _shown_word(word: str, own: dict[str, str], *, is_first: bool) -> str:
    if (word in DIRECTIONS and len(word) <= 2) or word == "US" or is_first:
        return word
    if _ORDINAL.match(word):
        return word.lower()
    if word.startswith("ST") and word not in SUFFIXES and (name := own.get(word[2:])):
        return f"St {name}"
    return own.get(word, word.capitalize())


def _house_number(words: list[str]) -> tuple[str, list[str]]:
    number, rest = words[0].lstrip("0") or words[0], words[1:]
    number = re.sub(r"-(?=[A-Z]$)", "", number)
    if rest and re.fullmatch(r"\d/\d", rest[0]):
        return f"{number} {rest[0]}", rest[1:]
    return number, rest


def _with_ordinals(name: list[str]) -> list[str]:
    """FIRST → 1ST, TWENTY FIRST → 21ST; a bare number before a suffix ('42 ST') → 42ND."""
    made: list[str] = []
    for at, word in enumerate(name):
        follows = name[at + 1] if at + 1 < len(name) else ""
        if made and made[-1] in TENS and 0 < ORDINALS.get(word, 0) < 10:
            made[-1] = ordinal(TENS[made[-1]] + ORDINALS[word])
        elif word in ORDINALS:
            made.append(ordinal(ORDINALS[word]))
        elif _PLAIN_NUMBER.match(word) and follows in SUFFIXES:
            made.append(ordinal(int(word)))
        else:
            made.append(word)
    return made


def _with_routes(name: list[str]) -> list[str]:
    """'US HWY 12' and 'U S HIGHWAY 12', 'CO RD 4' and 'COUNTY ROAD 4', 'SR 9' and 'STATE ROUTE 9'."""
    if not name or not re.fullmatch(r"\d+[A-Z]?", name[-1]) or len(name) < 2:
        return name
    *head, kind, number = name
    full = _ROUTES.get(kind) or [SUFFIX_IN_FULL.get(SUFFIXES.get(kind, ""), kind)]
    head = ["US"] if head in (["U", "S"], ["US"]) else [_BEFORE_A_ROUTE.get(word, word) for word in head]
    return [*head, *full, number]


def _leading_direction(name: list[str]) -> tuple[list[str], list[str]]:
    """A direction before the name; where only a suffix follows ('NORTH ST') it is the name."""
    if len(name) < 2 or name[0] not in DIRECTIONS:
        return [], name
    rest = name[1:]
    if len(rest) == 1 and rest[0] in SUFFIXES:
        return [], name
    both = DIRECTIONS[name[0]] + DIRECTIONS.get(rest[0], "")
    if both in DIRECTIONS and len(both) == 2 and len(rest) > 2:
        return [both], rest[1:]
    return [DIRECTIONS[name[0]]], rest


def _closing_direction(name: list[str]) -> tuple[list[str], list[str]]:
    if len(name) > 1 and name[-1] in DIRECTIONS:
        is_a_name = len(name) == 2 and name[0] in {"AVE", "AVENUE", "STREET"}
        return (name, []) if is_a_name else (name[:-1], [DIRECTIONS[name[-1]]])
    return name, []


def _suffix(name: list[str]) -> tuple[list[str], list[str]]:
    if len(name) > 1 and name[-1] in SUFFIXES:
        return name[:-1], [SUFFIXES[name[-1]]]
    return name, []


def _inside(name: list[str], *, has_suffix: bool) -> list[str]:
    """The name itself: a suffix inside it spelled out, Saint one with its name, Mount and Fort in full."""
    words = [
        word if word in _LEFT_INSIDE or (at == 0 and len(name) == 1) else SUFFIX_IN_FULL.get(word, word)
        for at, word in enumerate(name)
    ]
    if len(name) == 1 and not has_suffix:
        return [SUFFIX_IN_FULL.get(SUFFIXES.get(words[0], ""), words[0])] if words[0] in SUFFIXES else words
    if len(words) > 1 and words[0] in {"ST", "SAINT"}:
        return [f"ST{words[1]}", *words[2:]]
    return words
