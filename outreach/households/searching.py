"""Finding households by what someone remembers: part of a name, street, e-mail address or phone."""

import re

from django.db.models import Exists, OuterRef, Q

from outreach.households.models import Participant
from outreach.households.names import name_key
from outreach.households.querysets import HouseholdQuerySet
from outreach.places.addresses import searched_street

FEWEST_DIGITS = 4  # of a phone; fewer are a house number


def matching(households: HouseholdQuerySet, text: str) -> HouseholdQuerySet:
    """Households at such a street, or with a person of such a name, e-mail address or phone."""
    text = " ".join(text.split())
    if not text:
        return households
    people = Participant.objects.filter(_of_a_person(text)).filter(
        Q(household=OuterRef("pk")) | Q(household__merged_into=OuterRef("pk"))
    )
    return households.filter(Q(street_key__contains=searched_street(text)) | Exists(people))


def _of_a_person(text: str) -> Q:
    found = Q(email__icontains=text)
    words = [word for word in name_key(text).split() if not word.isdigit()]
    if words:
        by_name = Q()
        for word in words:
            by_name &= Q(name_key__contains=word)
        found |= by_name
    digits = re.sub(r"\D", "", text)
    if len(digits) >= FEWEST_DIGITS and not words:
        found |= Q(phone_key__contains=digits)
    return found
