"""Whom a household's invitation goes to, in which language, by which way."""

from django.utils import translation
from django.utils.translation import gettext as _

from outreach.households.models import Household, Participant
from outreach.post.posting import Addressee
from outreach.workshops.recipients import DEFAULT_LANGUAGE, addressee_of, postal_lines

FORGOTTEN = "FORGOTTEN "


def addressee(household: Household, *, may_call: bool = True) -> Addressee | None:
    """Someone of the household: who has an e-mail address before who has a phone; else the address itself.

    None where everybody it knew was forgotten: nothing is sent to an address that was emptied.
    """
    people = household.people
    named = [person for person in people if not person.name_key.startswith(FORGOTTEN)]
    if people and not named:
        return None
    if not named:
        return _whoever_lives_there(household)
    found = addressee_of(min(named, key=_how_hard_to_reach))
    if may_call or found.email:
        return found
    return Addressee(
        name=found.name, language=found.language, postal_lines=found.postal_lines, number=found.number
    )


def _how_hard_to_reach(person: Participant) -> int:
    return 0 if person.email else 1 if person.phone else 2


def _whoever_lives_there(household: Household) -> Addressee:
    language = household.language or DEFAULT_LANGUAGE
    with translation.override(language):
        name = _("To the household with the compost bin")
    return Addressee(name=name, language=language, postal_lines=postal_lines(household))
