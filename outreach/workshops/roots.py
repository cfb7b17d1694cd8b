"""Which household rows count under: the root of its merges, for many households at once."""

from collections.abc import Iterable

from outreach.households.models import Household


def roots_of(household_ids: Iterable[int]) -> dict[int, int]:
    """Each household's id and the id of the root it counts under.

    One query per level of merges, and there is seldom more than one.
    """
    asked = set(household_ids)
    into: dict[int, int | None] = {}
    wanted = asked
    while wanted:
        rows = Household.objects.order_by().filter(pk__in=wanted)
        into |= dict(rows.values_list("pk", "merged_into"))
        wanted = {pk for pk in into.values() if pk is not None} - into.keys()
    return {pk: _root(pk, into) for pk in asked}


def _root(pk: int, into: dict[int, int | None]) -> int:
    while (parent := into[pk]) is not None:
        pk = parent
    return pk
