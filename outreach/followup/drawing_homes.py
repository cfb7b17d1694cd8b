"""Drawing households at random: stratified by jurisdiction and bin family, repeatable from a seed.

Each household has its own number between 0 and 1 under a seed, made from the seed and its number by SHA-256. The
smallest of each stratum are drawn, so that a draw does not depend on the order in which rows are read, and drawing
more goes on where it stopped. (Permanent random numbers: Ohlsson, in Cox and others, eds. (1995), Business Survey
Methods, ch. 9. From memory.)
"""

import hashlib
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from django.core.exceptions import ValidationError
from django.db.models import Q
from django.utils.translation import gettext as _

from outreach.bins.models import Stay
from outreach.places.models import Jurisdiction


@dataclass(frozen=True, slots=True, kw_only=True)
class Home:
    """A household that may be drawn, by number, and its stratum: jurisdiction and bin family."""

    number: int
    stratum: tuple[str, str]


def homes_with_a_bin(
    *, on: date, jurisdiction: Jurisdiction | None = None, without: Iterable[int] = ()
) -> list[Home]:
    """Every household served that has a bin in use on a day, but for those whose numbers are named."""
    day = on.toordinal()
    lives_there = Q(counted_under__ended_on__isnull=True) | Q(counted_under__ended_on__gt=on)
    stays = Stay.objects.filter(
        lives_there, from_day__lte=day, until_day__gt=day, counted_under__jurisdiction__isnull=False
    )
    if jurisdiction is not None:
        stays = stays.filter(counted_under__jurisdiction=jurisdiction)
    known = set(without)
    rows = stays.order_by("counted_under").values_list(
        "counted_under", "counted_under__jurisdiction__name", "family"
    )
    return [
        Home(number=number, stratum=(place, family)) for number, place, family in rows if number not in known
    ]


def draw(homes: Sequence[Home], *, size: int, seed: int) -> list[int]:
    """So many households at random, each stratum with its share; their numbers in the order of the draw.

    Raises
    ------
    ValidationError
        If there are fewer households than that.
    """
    if size > len(homes):
        raise ValidationError(
            _(
                "Only %(there)s households have a bin in use and are not on the list. Ask for no more than that."
            )
            % {"there": len(homes)}
        )
    by_stratum: dict[tuple[str, str], list[int]] = defaultdict(list)
    for home in homes:
        by_stratum[home.stratum].append(home.number)
    shares = allotted({stratum: len(numbers) for stratum, numbers in by_stratum.items()}, size=size)
    chosen = [
        number
        for stratum, numbers in by_stratum.items()
        for number in sorted(numbers, key=lambda one: _place(one, seed))[: shares[stratum]]
    ]
    return sorted(chosen, key=lambda one: _place(one, seed))


def allotted(sizes: dict[tuple[str, str], int], *, size: int) -> dict[tuple[str, str], int]:
    """How many of each stratum: in proportion, by largest remainders; of equal ones the first by name."""
    whole = sum(sizes.values())
    shares = {stratum: count * size // whole for stratum, count in sizes.items()}
    left = size - sum(shares.values())
    by_remainder = sorted(sizes, key=lambda one: (-(sizes[one] * size % whole), one))
    for stratum in by_remainder[:left]:
        shares[stratum] += 1
    return shares


def _place(number: int, seed: int) -> bytes:
    return hashlib.sha256(f"{seed}:{number}".encode()).digest()
