"""City, state and ZIP at the end of an address that came in one cell."""

import re
from typing import NamedTuple

from outreach.places.city_names import STATE_NAMES, STATES, city_key
from outreach.places.postal import DIRECTIONS, EVERYDAY, RANGED_UNITS, SUFFIXES
from outreach.places.units import is_a_unit
from outreach.places.zips import read_zip

_COUNTRY = re.compile(r"[\s,]+(?:USA|U\.S\.A\.?|United States(?: of America)?)$", re.IGNORECASE)
_ZIP = re.compile(r"^(.*?[\s,])(\d{5}(?:-?\d{4})?)$")
_SHORT_ZIP = re.compile(r"^(.*[\s,])(\d{3,4})$")
FEWEST_WITH_SHORT_ZIP = 3


class LastLine(NamedTuple):
    """What is left for the street, and what stood after it."""

    street: str
    city_name: str = ""
    zip_code: str = ""


def split_last_line(text: str, *, city: str = "") -> LastLine:
    """'12 Main St #4, Millrace, OR 00418' → '12 Main St #4', 'Millrace', '00418'."""
    rest, zip_code = _without_zip(_COUNTRY.sub("", text))
    rest, had_state = _without_state(rest, has_zip=bool(zip_code))
    stretches = [stretch.strip() for stretch in rest.split(",") if stretch.strip()]
    if len(stretches) > 1 and not is_a_unit(stretches[-1]) and not stretches[-1][:1].isdigit():
        if not _is_a_box(stretches[-1]):
            return LastLine(", ".join(stretches[:-1]), stretches[-1], zip_code)
    elif len(stretches) == 1 and (zip_code or had_state):
        street, name = _after_the_suffix(stretches[0])
        return LastLine(street, name, zip_code)
    return LastLine(_without_city(rest, city), "", zip_code)


def _without_zip(text: str) -> tuple[str, str]:
    found = _ZIP.match(text)
    if found and (_ends_with_comma_or_state(found[1]) or _has_a_street(found[1])):
        return found[1].rstrip(" ,"), read_zip(found[2])
    found = _SHORT_ZIP.match(text)
    if found and _ends_with_state(found[1]) and "," in text:
        return found[1].rstrip(" ,"), read_zip(found[2])
    if found and found[1].rstrip().endswith(",") and text.count(",") + 1 >= FEWEST_WITH_SHORT_ZIP:
        return found[1].rstrip(" ,"), read_zip(found[2])
    return text, ""


def _ends_with_comma_or_state(head: str) -> bool:
    return head.rstrip().endswith(",") or _ends_with_state(head)


def _ends_with_state(head: str) -> bool:
    words = re.split(r"[\s,]+", head.strip(" ,."))
    return len(words) > 2 and words[-1].upper() in STATES


def _has_a_street(head: str) -> bool:
    """A house number, a name, and a suffix that does not number the road after it ('Highway 12345')."""
    words = _plain(head)
    is_road_number = bool(words) and SUFFIXES.get(words[-1]) in {"HWY", "RTE"}
    return not is_road_number and any(SUFFIXES.get(word) in EVERYDAY for word in words[2:])


def _without_state(text: str, *, has_zip: bool) -> tuple[str, bool]:
    head, comma, tail = text.rpartition(",")
    last = " ".join(_plain(tail))
    if comma and (last in STATES or (last in STATE_NAMES and "," in head)):
        return head.strip(), True
    words = tail.split()
    if len(words) < 2 or (not comma and not has_zip):
        return text, False
    for many in (2, 1):
        ending = " ".join(_plain(" ".join(words[-many:])))
        if (ending in STATES or ending in STATE_NAMES) and _is_state(words[:-many], ending, comma):
            return f"{head}{comma} {' '.join(words[:-many])}".strip(), True
    return text, False


def _is_state(before: list[str], ending: str, comma: str) -> bool:
    """'Millrace OR' yes; the CT of '12 Kestrel Ct' and the NE of '12 Main St NE' no."""
    if comma:
        return bool(before)
    words = [word.upper().strip(".") for word in before]
    if ending not in SUFFIXES and ending not in DIRECTIONS:
        return len(words) > 2
    return any(SUFFIXES.get(word) in EVERYDAY for word in words[2:-1])


def _after_the_suffix(text: str) -> tuple[str, str]:
    """Without a comma the street ends at its suffix, direction and unit; what follows is the city."""
    words = text.replace("#", " # ").split()
    plain = [word.upper().strip(".") for word in words]
    for at in range(2, len(words)):
        if SUFFIXES.get(plain[at]) not in EVERYDAY or _is_saint(plain, at):
            continue
        end = at + 1
        if end < len(words) and len(plain[end]) <= 2 and plain[end] in DIRECTIONS:
            end += 1
        if end + 1 < len(words) and plain[end] in RANGED_UNITS:
            end += 2
        return " ".join(words[:end]), " ".join(words[end:])
    return text, ""


def _is_saint(plain: list[str], at: int) -> bool:
    return plain[at] == "ST" and any(SUFFIXES.get(word) in EVERYDAY for word in plain[at + 1 : at + 3])


def _without_city(text: str, city: str) -> str:
    """The city written after the street although it has a column of its own."""
    key, words = city_key(city), text.split()
    for many in range(1, min(4, len(words) - 2)):
        tail = " ".join(words[-many:])
        if key and city_key(tail) == key and SUFFIXES.get(words[-many - 1].upper().strip(".,")) in EVERYDAY:
            return " ".join(words[:-many]).rstrip(" ,")
    return text


def _is_a_box(stretch: str) -> bool:
    return bool(re.match(r"P\W*O\W*B(OX)?\b", stretch, re.IGNORECASE))


def _plain(text: str) -> list[str]:
    return re.sub(r"[^A-Z0-9 ]+", "", text.upper().replace(",", " ")).split()
