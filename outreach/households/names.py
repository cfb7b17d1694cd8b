"""Names as written on a sheet → the name as shown and a key under which its spellings meet."""

import re
from typing import NamedTuple

from outreach.places.folding import fold

PARTICLES = frozenset(
    ["de", "del", "della", "der", "den", "di", "da", "das", "dos", "du", "van", "von", "la", "y"]
)
TITLES = frozenset(["MR", "MRS", "MS", "MX", "MISS", "DR", "REV", "PROF", "SR.", "SRA"])
GENERATIONS = {"JR": "Jr.", "SR": "Sr.", "II": "II", "III": "III", "IV": "IV"}
# 'Mac' is a prefix in these; in Mack, Macy or Machado it is not.
_MAC_NAMES = (
    "donald kenzie gregor leod millan pherson intosh intyre lean dougall farlane neil arthur "
    "callum kinnon aulay allister cormack"
)
MAC_NAMES = frozenset(_MAC_NAMES.split())
_APOSTROPHES = re.compile(r"\s*['’‘`´]\s*(?=\w)")
SHORT = 3


class PersonName(NamedTuple):
    """A name as shown, and its key; both empty where the text holds no name."""

    full_name: str
    name_key: str


def read_name(text: object = "", *, first: object = "", last: object = "") -> PersonName:
    """'Lindqvist, ADA M.' → shown 'Ada M. Lindqvist', key 'ADA LINDQVIST'; or from two columns."""
    whole = _tidy(f"{_tidy(first)} {_tidy(last)}") or _given_name_first(_tidy(text))
    words = _without_titles(whole.split())
    if not any(character.isalpha() for character in whole) or "@" in whole:
        return PersonName("", "")
    shown = " ".join(_cased(word, is_first=index == 0) for index, word in enumerate(words))
    return PersonName(shown, name_key(shown))


def name_key(shown: str) -> str:
    """Accents, dots, hyphens and middle initials aside: what stays the same between two sheets."""
    plain = fold(_APOSTROPHES.sub("", shown)).upper()
    words = [re.sub(r"[^A-Z0-9]", "", word) for word in re.split(r"[\s,\-–]+", _joined_dots(plain))]
    words = _without_initials([word for word in words if word])
    return _particles_joined(words) or " ".join(plain.split())


def _tidy(text: object) -> str:
    words = " ".join(str(text if text is not None else "").split())
    return _APOSTROPHES.sub("'", words).strip(" ,;")


def _given_name_first(text: str) -> str:
    """'Last, First' turned round; 'First Last, Jr.' left as it stands."""
    family, comma, given = text.partition(",")
    given = given.strip()
    if not comma or not given or _generation(given):
        return f"{family.strip()} {given}".strip()
    middle, more, rest = given.partition(",")
    if more and _generation(middle.strip()):
        return f"{rest.strip()} {family.strip()} {middle.strip()}"
    if more and _generation(rest.strip()):
        return f"{middle.strip()} {family.strip()} {rest.strip()}"
    return f"{given} {family.strip()}"


def _generation(word: str) -> str:
    return GENERATIONS.get(word.upper().rstrip("."), "")


def _without_titles(words: list[str]) -> list[str]:
    while len(words) > 1 and words[0].upper().rstrip(".") in TITLES:
        words = words[1:]
    return words


def _cased(word: str, *, is_first: bool) -> str:
    """Capitals, or no capitals at all, made ordinary; a mixed spelling is the person's own."""
    if generation := _generation(word):
        return word if is_first else generation
    letters = [character for character in word if character.isalpha()]
    if word.islower() and word in PARTICLES and not is_first:
        return word
    is_shouted = word.isupper() and len(letters) > SHORT
    is_short_shout = word.isupper() and 1 < len(letters) <= SHORT and not (is_first and "." not in word)
    if not (is_shouted or is_short_shout or word.islower() or _is_plain_given(word, is_first)):
        return word
    if word.lower() in PARTICLES and not is_first:
        return word.lower()
    return re.sub(r"[^\W\d_]+", lambda part: _cased_part(part.group()), word)


def _is_plain_given(word: str, is_first: bool) -> bool:
    """'ADA' is a name in capitals; 'TJ' is two initials that stay."""
    return is_first and word.isupper() and len(word) == SHORT


def _cased_part(part: str) -> str:
    low = part.lower()
    if low.startswith("mc") and len(low) > SHORT:
        return f"Mc{low[2:].capitalize()}"
    if low.startswith("mac") and low[3:] in MAC_NAMES:
        return f"Mac{low[3:].capitalize()}"
    return low.capitalize()


def _joined_dots(plain: str) -> str:
    """'ST.CLAIR' and 'ST. CLAIR' are one word; so are 'A.B.' and 'AB', in which the dot is nothing."""
    return re.sub(r"\bST\b\.?\s*(?=[A-Z]{2})", "ST", plain)


def _without_initials(words: list[str]) -> list[str]:
    inner = [word for word in words[1:-1] if len(word) > 1]
    return [*words[:1], *inner, *words[1:][-1:]]


def _particles_joined(words: list[str]) -> str:
    joined: list[str] = []
    carried = ""
    for index, word in enumerate(words):
        if 0 < index < len(words) - 1 and (word.lower() in PARTICLES or word == "MC"):
            carried += word
        else:
            joined.append(carried + word)
            carried = ""
    return " ".join(joined)
