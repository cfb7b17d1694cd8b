"""Households that share a person: whoever was met in two is forgotten in both at once."""

from collections import defaultdict

from outreach.households.models import Participant


def known_with() -> dict[int, set[int]]:
    """Of each household (its root) the others in which one of its people is still named."""
    homes_of: dict[int, set[int]] = defaultdict(set)
    links = (
        Participant.objects.linked()
        .still_named()
        .select_related("household__merged_into", "same_person_as__household__merged_into")
    )
    for one in links:
        first = one.same_person_as
        if first is not None:
            homes_of[first.pk] |= {one.household.counted_under.pk, first.household.counted_under.pk}
    found: dict[int, set[int]] = defaultdict(set)
    for homes in homes_of.values():
        for home in homes:
            found[home] |= homes - {home}
    return dict(found)
