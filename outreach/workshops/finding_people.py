"""Finding someone who is already recorded, by whatever they say at the desk."""

from django.db.models import Q

from outreach.households.models import Participant
from outreach.households.names import name_key
from outreach.households.phones import phone_key
from outreach.households.querysets import ParticipantQuerySet
from outreach.places.addresses import read_address

MOST_SHOWN = 20
FEWEST_LETTERS = 2


def people_matching(text: str) -> ParticipantQuerySet:
    """People whose name, e-mail, phone or street has what was typed; none for fewer than two letters."""
    words = text.strip()
    if len(words) < FEWEST_LETTERS:
        return Participant.objects.none()
    meant = Q()
    for word in name_key(words).split():
        meant &= Q(name_key__contains=word)
    if "@" in words:
        meant |= Q(email__icontains=words)
    if phone := phone_key(words):
        meant |= Q(phone_key__contains=phone)
    if words[0].isdigit() and (street := read_address(words).street_key or words.upper()):
        meant |= Q(household__street_key__startswith=street)
    return Participant.objects.filter(meant).select_related("household").order_by("name_key", "pk")
