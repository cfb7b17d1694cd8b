"""Drawing households at random: stratified by jurisdiction and bin family, repeatable from a seed.

Each household has its own number between 0 and 1 under a seed, made from the seed and its number by SHA-256. The
smallest of each stratum are drawn, so that a draw does not depend on the order in which rows are read, and drawing
more goes on where it stopped. (Permanent random numbers: Ohlsson, in Cox and others, eds. (1995), Business Survey
Methods, ch. 9. From memory.)
"""

import hashlib
import heapq
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from typing import TypeAlias

from django.core.exceptions import ValidationError
from django.db.models import Q
from django.utils.translation import gettext as _

from outreach.bins.models import Stay
from outreach.households import consent
from outreach.places.models import Jurisdiction

# Jurisdiction and bin family.
Stratum: TypeAlias = tuple[str, str]
ROWS_AT_ONCE = 2_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Home:
    """A household that may be drawn, by number, and its stratum: jurisdiction and bin family."""

    number: int
    stratum: Stratum


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """Whom a draw took, by number, in the order of the draw; and from how many households."""

    numbers: tuple[int, ...]
    drawn_from: int


def homes_with_a_bin(
    *, on: date, jurisdiction: Jurisdiction | None = None, without: Iterable[int] = ()
) -> Iterator[Home]:
    """Every household served that has a bin in use on a day, but for those named and those that are asked no more."""
    day = on.toordinal()
    lives_there = Q(counted_under__ended_on__isnull=True) | Q(counted_under__ended_on__gt=on)
    stays = Stay.objects.filter(
        lives_there, from_day__lte=day, until_day__gt=day, counted_under__jurisdiction__isnull=False
    )
    if jurisdiction is not None:
        stays = stays.filter(counted_under__jurisdiction=jurisdiction)
    left_out = set(without) | consent.households_that_said_no(consent.Purpose.FOLLOW_UP)
    rows = stays.order_by().values_list("counted_under", "counted_under__jurisdiction__name", "family")
    for number, place, family in rows.iterator(chunk_size=ROWS_AT_ONCE):
        if number not in left_out:
            yield Home(number=number, stratum=(place, family))


def draw(homes: Iterable[Home], *, size: int, seed: int) -> Drawn:
    """So many households at random, each stratum with its share. Memory grows with the draw, not with the homes.

    Raises
    ------
    ValidationError
        If there are fewer households than that.
    """
    sizes: Counter[Stratum] = Counter()
    first: dict[Stratum, list[tuple[int, int]]] = defaultdict(list)
    for home in homes:
        sizes[home.stratum] += 1
        _keep_the_smallest(first[home.stratum], (_place(home.number, seed), home.number), size)
    whole = sum(sizes.values())
    if size > whole:
        raise ValidationError(
            _(
                "Only %(there)s households have a bin in use and are not on the list. Ask for no more than that."
            )
            % {"there": whole}
        )
    shares = allotted(sizes, size=size)
    chosen = [one for stratum, kept in first.items() for one in _in_order(kept)[: shares[stratum]]]
    return Drawn(numbers=tuple(number for _place, number in sorted(chosen)), drawn_from=whole)


def allotted(sizes: Mapping[Stratum, int], *, size: int) -> dict[Stratum, int]:
    """How many of each stratum: in proportion, by largest remainders; of equal ones the first by name."""
    whole = sum(sizes.values())
    shares = {stratum: count * size // whole for stratum, count in sizes.items()}
    left = size - sum(shares.values())
    by_remainder = sorted(sizes, key=lambda one: (-(sizes[one] * size % whole), one))
    for stratum in by_remainder[:left]:
        shares[stratum] += 1
    return shares


def _keep_the_smallest(heap: list[tuple[int, int]], one: tuple[int, int], size: int) -> None:
    """The heap has the largest on top, as its places are negative."""
    place, number = one
    if len(heap) < size:
        heapq.heappush(heap, (-place, number))
    else:
        heapq.heappushpop(heap, (-place, number))


def _in_order(heap: list[tuple[int, int]]) -> list[tuple[int, int]]:
    return sorted((-place, number) for place, number in heap)


def _place(number: int, seed: int) -> int:
    return int.from_bytes(hashlib.sha256(f"{seed}:{number}".encode()).digest())
