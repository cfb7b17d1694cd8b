"""Likely duplicates: pairs of households or people that a person should look at. Nothing is merged here.

A pair that someone ruled to be different is not proposed again.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime
from difflib import SequenceMatcher
from itertools import combinations
from typing import NamedTuple

from django.db import models
from django.utils.translation import gettext_lazy as _

from outreach.households.models import DuplicateRuling, Household, Participant
from outreach.staff.models import StaffMember

Kind = DuplicateRuling.Kind
# A number or address that more households share than this belongs to none of them: an office, a clinic.
MOST_WHO_SHARE = 12
NEAR_STREETS = 0.8  # common practice, no source


class Reason(models.TextChoices):
    """Why two records look like one."""

    EMAIL = "email", _("the same e-mail address")
    PHONE = "phone", _("the same phone")
    NAME_NEAR_STREET = "name_near_street", _("the same name and nearly the same street")
    SAME_STREET = "same_street", _("the same street and unit, one of them without ZIP")


@dataclass(frozen=True, slots=True, kw_only=True)
class LikelyPair:
    """Two records of one kind, the earlier first, and why they look like one."""

    kind: str
    left_id: int
    right_id: int
    reasons: tuple[Reason, ...]

    @property
    def words(self) -> str:
        return ", ".join(str(reason.label) for reason in self.reasons)


class _Person(NamedTuple):
    id: int
    household_id: int
    name_key: str
    email: str
    phone_key: str
    standing_id: int


class _Home(NamedTuple):
    id: int
    street_key: str
    unit_key: str
    zip_code: str
    began_on: date
    ended_on: date | None


class _Snapshot:
    """Roots and people in memory, two queries whatever their number."""

    def __init__(self) -> None:
        columns = ("pk", "street_key", "unit_key", "zip_code", "began_on", "ended_on")
        self.homes = {row[0]: _Home(*row) for row in Household.objects.roots().values_list(*columns)}
        rows = Participant.objects.values_list(
            "pk",
            "household_id",
            "household__merged_into_id",
            "name_key",
            "email",
            "phone_key",
            "same_person_as_id",
        )
        self.people = [
            _Person(pk, root or own, name, email, phone, standing or pk)
            for pk, own, root, name, email, phone, standing in rows
        ]


def likely_households() -> list[LikelyPair]:
    """Pairs of households that may be one, by number."""
    known = _Snapshot()
    found: dict[tuple[int, int], list[Reason]] = defaultdict(list)
    for reason, people in _who_share(known.people):
        _note(found, reason, (person.household_id for person in people))
    for pair in _same_name_near_street(known):
        found[pair].append(Reason.NAME_NEAR_STREET)
    for pair in _same_street_without_zip(known.homes.values()):
        found[pair].append(Reason.SAME_STREET)
    together = {pair: why for pair, why in found.items() if _overlap(*(known.homes[one] for one in pair))}
    return _not_ruled_out(Kind.HOUSEHOLD, together)


def likely_people() -> list[LikelyPair]:
    """Pairs of records of people that may be one person, by number."""
    found: dict[tuple[int, int], list[Reason]] = defaultdict(list)
    for reason, people in _who_share(_Snapshot().people):
        _note(found, reason, (person.standing_id for person in people))
    return _not_ruled_out(Kind.PARTICIPANT, found)


def households_concerned() -> set[int]:
    """Numbers of the households that are in some likely pair."""
    return {one for pair in likely_households() for one in (pair.left_id, pair.right_id)}


def pairs_of(household: Household) -> list[LikelyPair]:
    """The likely pairs in which this household is one."""
    return [pair for pair in likely_households() if household.pk in (pair.left_id, pair.right_id)]


def rule_different(
    *, kind: str, left_id: int, right_id: int, by: StaffMember, at: datetime
) -> DuplicateRuling:
    """Remember that someone looked at the two and says that they are different."""
    first, second = sorted((left_id, right_id))
    ruling = DuplicateRuling(
        kind=kind, left_id_number=first, right_id_number=second, ruled_at=at, ruled_by=by
    )
    ruling.full_clean()
    ruling.save()
    return ruling


def _who_share(people: Iterable[_Person]) -> Iterator[tuple[Reason, list[_Person]]]:
    groups: dict[tuple[Reason, str], list[_Person]] = defaultdict(list)
    for person in people:
        for reason, reach in ((Reason.EMAIL, person.email), (Reason.PHONE, person.phone_key)):
            if reach:
                groups[reason, reach].append(person)
    for (reason, _reach), group in groups.items():
        if len(group) > 1:
            yield reason, group


def _note(found: dict[tuple[int, int], list[Reason]], reason: Reason, numbers: Iterable[int]) -> None:
    distinct = sorted(set(numbers))
    if len(distinct) > MOST_WHO_SHARE:
        return
    for pair in combinations(distinct, 2):
        if reason not in found[pair]:
            found[pair].append(reason)


def _same_name_near_street(known: _Snapshot) -> Iterator[tuple[int, int]]:
    homes_of: dict[str, set[int]] = defaultdict(set)
    for person in known.people:
        homes_of[person.name_key].add(person.household_id)
    for homes in homes_of.values():
        for pair in combinations(sorted(homes), 2):
            if _are_near(*(known.homes[one] for one in pair)):
                yield pair


def _are_near(left: _Home, right: _Home) -> bool:
    if left.zip_code and right.zip_code and left.zip_code != right.zip_code:
        return False
    if left.unit_key and right.unit_key and left.unit_key != right.unit_key:
        return False
    return SequenceMatcher(None, left.street_key, right.street_key).ratio() >= NEAR_STREETS


def _same_street_without_zip(homes: Iterable[_Home]) -> Iterator[tuple[int, int]]:
    there: dict[tuple[str, str], list[_Home]] = defaultdict(list)
    for home in homes:
        there[home.street_key, home.unit_key].append(home)
    for group in there.values():
        for left, right in combinations(sorted(group), 2):
            if not (left.zip_code and right.zip_code):
                yield left.id, right.id


def _overlap(left: _Home, right: _Home) -> bool:
    """Whether both were there at once; one that moved out before the other came is not a duplicate."""
    return (left.ended_on or date.max) > right.began_on and (right.ended_on or date.max) > left.began_on


def _not_ruled_out(kind: str, found: dict[tuple[int, int], list[Reason]]) -> list[LikelyPair]:
    ruled = set(DuplicateRuling.objects.about(kind).values_list("left_id_number", "right_id_number"))
    return [
        LikelyPair(kind=kind, left_id=pair[0], right_id=pair[1], reasons=tuple(reasons))
        for pair, reasons in sorted(found.items())
        if pair not in ruled
    ]
