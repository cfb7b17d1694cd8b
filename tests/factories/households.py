"""Households and people, valid by default."""

import datetime
import itertools

from outreach.households.models import Household, Participant
from tests.factories.places import make_jurisdiction

_numbers = itertools.count(1)


def make_household(**differences) -> Household:
    number = next(_numbers)
    fields = {"street": f"{number} Alder Street", "began_on": datetime.date(2024, 1, 1)} | differences
    fields.setdefault("street_key", fields["street"].upper())
    fields.setdefault("address_key", f"{fields['street_key']} 00000")
    if "jurisdiction" not in fields:
        fields["jurisdiction"] = make_jurisdiction()
    return Household.objects.create(**fields)


def make_participant(**differences) -> Participant:
    fields = {"full_name": f"Ada Person{next(_numbers)}", "first_seen_on": datetime.date(2024, 1, 1)}
    fields |= differences
    fields.setdefault("name_key", fields["full_name"].upper())
    fields["household"] = fields.get("household") or make_household()
    return Participant.objects.create(**fields)
