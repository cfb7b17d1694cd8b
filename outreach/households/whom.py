"""Whom forgetting is about: numbers of people and households, and the words by which they are known."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import cached_property

from outreach.households.models import Household, Participant

# Shorter ones stand in other words: 'Al', '5 A'.
FEWEST_LETTERS = 5
FEWEST_DIGITS = 7


@dataclass(frozen=True, kw_only=True)
class Whom:
    """People who are forgotten, and the households of which nobody remains.

    `at` is when; `names`, `emails`, `phones` and `streets` are as they were recorded, for finding them in free text.
    """

    at: datetime
    people: frozenset[int]
    homes: frozenset[int]
    names: frozenset[str]
    name_keys: frozenset[str]
    emails: frozenset[str]
    phones: frozenset[str]
    streets: frozenset[str]
    street_keys: frozenset[str]

    @cached_property
    def pattern(self) -> "re.Pattern[str] | None":
        """Finds any of the words in any case and spacing; None where nothing is long enough to look for."""
        parts = [_spaced(name) for name in self.names] + [_turned(name) for name in self.names]
        parts += [re.escape(email) for email in self.emails]
        parts += [r"\D{0,3}".join(digits) for digits in map(digits_of, self.phones)]
        parts += [_spaced(street) for street in self.streets]
        longest_first = sorted({part for part in parts if part}, key=len, reverse=True)
        if not longest_first:
            return None
        return re.compile(r"(?<!\w)(?:" + "|".join(longest_first) + r")(?!\w)", re.IGNORECASE)

    @cached_property
    def tokens(self) -> list[str]:
        """One stretch of each word by which the database finds texts that may hold it."""
        words = [max(re.split(r"\W+", name), key=len) for name in (*self.names, *self.streets)]
        ends = [digits[-4:] for digits in map(digits_of, self.phones)]
        cased = [form for word in words for form in (word, word.upper(), word.lower())]
        return sorted({one for one in (*cased, *self.emails, *ends) if one})


def digits_of(phone: str) -> str:
    return re.sub(r"\D", "", phone)


def whom_of(people: Sequence[Participant], homes: Iterable[Household], at: datetime) -> Whom:
    """The words of these records as they stand now."""
    homes = list(homes)
    phones = {phone for one in people for phone in (one.phone, one.phone_key)}
    return Whom(
        at=at,
        people=frozenset(one.pk for one in people),
        homes=frozenset(home.pk for home in homes),
        names=frozenset(one.full_name for one in people if len(one.full_name) >= FEWEST_LETTERS),
        name_keys=frozenset(one.name_key for one in people if one.name_key),
        emails=frozenset(one.email for one in people if one.email),
        phones=frozenset(one for one in phones if len(digits_of(one)) >= FEWEST_DIGITS),
        streets=frozenset(
            text
            for home in homes
            for text in (home.street, home.street_key)
            if len(text) >= FEWEST_LETTERS and " " in text
        ),
        street_keys=frozenset(home.street_key for home in homes),
    )


def _spaced(text: str) -> str:
    """The words of a name or street with anything but letters between them: 'ada-holm' as well."""
    return r"[\W_]+".join(re.escape(word) for word in re.split(r"[\W_]+", text) if word)


def _turned(name: str) -> str:
    """'Holm, Ada' for 'Ada Holm'."""
    given, _space, family = name.rpartition(" ")
    return _spaced(f"{family} {given}") if given else ""
