"""What the cells of a column look like, whatever stands over it."""

import re
from collections import Counter
from collections.abc import Callable, Iterable
from itertools import pairwise

from diversion.quantities import Material, NotAnAmount, Period, read_amount
from outreach.households.emails import read_email
from outreach.households.phones import read_phone
from outreach.intake.dates import read_date
from outreach.intake.hours import read_start
from outreach.intake.sheets import Value, as_text
from outreach.intake.vocabulary import entries_in, entry_named, fold, sign_in, words_of
from outreach.places.serving import PlacesList
from outreach.places.zips import read_zip

LOOKED_AT = 200
# Some cells of a column are always odd; a column is what most of its cells are.
MOST = 0.6
MANY = 0.3
MINUS_SIGNS = "-\N{MINUS SIGN}"

_STREET = re.compile(
    r"^\W*\d+[a-z]?\b.*\b(st|street|ave?|avenue|r(oa)?d|l(a)?ne?|c(our)?t|dr(ive)?|blvd|boulevard|way|place|pl|"
    r"ter(race)?|cir(cle)?|loop|trail|trl|h(igh)?wy|pkwy|parkway|sq(uare)?|calle|row|alley|plaza)\b",
    re.I,
)
_NUMBER_AND_WORDS = re.compile(r"^\W*\d+[a-z]?\s+[^\W\d]{2,}", re.I)
_POBOX = re.compile(r"^\s*p\.?\s*o\.?\s*box\b", re.I)
_NAME = re.compile(r"^[^\W\d_][\w.'’\- ]*(, ?[^\W\d_][\w.'’\- ]*)?$")
_INITIALS = re.compile(r"^[A-Z]\.?\s?[A-Z]?\.?\s?[A-Z]\.?$")


def is_email(value: Value) -> bool:
    return bool(read_email(value))


def is_phone(value: Value) -> bool:
    text = as_text(value)
    return bool(read_phone(text).phone_key) and len(re.sub(r"\D", "", text)) >= len("5550100")


def is_contact(value: Value) -> bool:
    return is_email(value) or is_phone(value) or ("@" in as_text(value))


def is_zip(value: Value) -> bool:
    return bool(read_zip(value))


def is_date(value: Value) -> bool:
    return read_date(value) is not None


def is_start(value: Value) -> bool:
    return bool(read_start(value))


def is_sign(value: Value) -> bool:
    sign = sign_in(as_text(value))
    return sign in words_of("signs", "yes") or sign in words_of("signs", "no")


def is_bin(value: Value) -> bool:
    return bool(entries_in("families", as_text(value)))


def is_address(value: Value) -> bool:
    text = as_text(value)
    return bool(_STREET.search(text) or _POBOX.search(text) or _NUMBER_AND_WORDS.search(text))


def is_full_name(value: Value) -> bool:
    text = as_text(value)
    return bool(_NAME.match(text)) and 2 <= len(text.replace(",", " ").split()) <= 5


def is_one_word(value: Value) -> bool:
    text = as_text(value)
    return bool(_NAME.match(text)) and len(text) > 1 and len(text.split()) <= 2


def is_initials(value: Value) -> bool:
    return bool(_INITIALS.match(as_text(value)))


def is_number(value: Value) -> bool:
    return bool(re.fullmatch(r"-?\d+(\.0+)?", as_text(value)))


def is_amount(value: Value) -> bool:
    """An amount, or one below nothing: what it says cannot be, and a person must see it as what it is."""
    try:
        read_amount(as_text(value).lstrip(MINUS_SIGNS), material=Material.FOOD, per=Period.WEEK)
    except NotAnAmount:
        return False
    return True


def is_composting(value: Value) -> bool:
    return bool(entry_named("composting", as_text(value)))


class Contents:
    """The filled cells of one column and how many of them pass for what."""

    def __init__(self, cells: Iterable[Value]) -> None:
        self.cells = [cell for cell in cells if as_text(cell)][:LOOKED_AT]
        self.distinct = len({fold(as_text(cell)) for cell in self.cells})
        self._shares: dict[Callable[[Value], bool], float] = {}

    @property
    def filled(self) -> int:
        return len(self.cells)

    def share(self, test: Callable[[Value], bool]) -> float:
        """Which part of the filled cells passes."""
        if test not in self._shares:
            self._shares[test] = sum(map(test, self.cells)) / max(self.filled, 1)
        return self._shares[test]

    def mostly(self, test: Callable[[Value], bool]) -> bool:
        return self.share(test) >= MOST

    def share_of_cities(self, places: PlacesList) -> float:
        return sum(bool(places.city_named(as_text(cell))) for cell in self.cells) / max(self.filled, 1)

    def counts_up(self) -> bool:
        """Running numbers 1, 2, 3 …"""
        numbers = [float(as_text(cell)) for cell in self.cells if is_number(cell)]
        rises = sum(b == a + 1 for a, b in pairwise(numbers))
        return len(numbers) > 1 and self.mostly(is_number) and rises >= MOST * (len(numbers) - 1)

    def most_common(self) -> str:
        counted = Counter(as_text(cell) for cell in self.cells)
        return counted.most_common(1)[0][0] if counted else ""
