"""Households that a help request may be of: by what was searched, else by what they wrote of themselves."""

from datetime import date

from outreach.coaching.models import HelpRequest
from outreach.households import searching
from outreach.households.models import Household

MOST_SHOWN = 20


def households_for(asked: HelpRequest, search: str, *, on: date) -> list[Household]:
    """At most twenty that live where they were last known; nothing where there is nothing to go by."""
    there = Household.objects.current(on).with_people()
    if search.strip():
        return list(searching.matching(there, search)[:MOST_SHOWN])
    street = asked.written_address.partition(",")[0]
    found: dict[int, Household] = {}
    for words in filter(None, (street, asked.phone, asked.email, asked.written_name)):
        for household in searching.matching(there, words)[:MOST_SHOWN]:
            found.setdefault(household.pk, household)
    return list(found.values())[:MOST_SHOWN]
