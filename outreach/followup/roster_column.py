"""The roster's column 'How it goes': at a workshop's door, those who owe an answer are asked for it."""

from collections.abc import Sequence
from dataclasses import dataclass

from outreach.followup import invitation_links, waves
from outreach.followup.models import Invitation
from outreach.households import consent
from outreach.workshops.models import Registration


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """A household that owes an answer: the form to hand it on a tablet, where it has been asked already."""

    form_url: str = ""


def cells(registrations: Sequence[Registration]) -> dict[int, Asked]:
    """One cell for each registration whose household owes an answer on the day and may be asked."""
    if not registrations:
        return {}
    on = registrations[0].workshop.held_on
    roots = {one.counted_under_id for one in registrations}
    roots -= consent.households_that_said_no(consent.Purpose.FOLLOW_UP)
    owing = set(waves.due(on=on).numbered(roots).values_list("pk", flat=True))
    asked = Invitation.objects.counted_for_any(roots).due(on).with_household()
    forms = {one.counted_under_id: one for one in asked}
    return {
        one.pk: _cell(forms.get(one.counted_under_id), one)
        for one in registrations
        if one.counted_under_id in owing or one.counted_under_id in forms
    }


def _cell(invitation: Invitation | None, registration: Registration) -> Asked:
    if invitation is None:
        return Asked()
    language = registration.participant.language or registration.household.language
    return Asked(form_url=invitation_links.at_door(invitation, language))
