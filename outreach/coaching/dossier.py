"""What the page of a household tells about help: timeline, panel, buttons; no words of theirs, for analysts read it."""

from collections.abc import Iterator
from typing import Any

from django.urls import reverse
from django.utils.translation import gettext as _

from outreach.coaching.models import HelpRequest
from outreach.households.dossier import Action, Entry
from outreach.households.models import Household
from outreach.staff.models import StaffMember
from outreach.staff.roles import OFFICE, WITH_CONTACT_DATA


def timeline(household: Household) -> Iterator[Entry]:
    """When they asked for help, when someone visited, when it was closed and with what outcome."""
    for asked in HelpRequest.objects.counted_for(household).with_details():
        url = reverse("help_request", args=[asked.pk])
        words = {
            HelpRequest.Kind.PROBLEM: _("Asked for help"),
            HelpRequest.Kind.OBJECTION: _("Someone objected to the bin"),
            HelpRequest.Kind.COMPLAINT: _("An authority passed on a complaint"),
        }[HelpRequest.Kind(asked.kind)]
        yield Entry(
            on=asked.opened_on, words=words, url=url, mark="asked", detail="; ".join(asked.symptom_words)
        )
        for visit in asked.visits.all():
            yield Entry(on=visit.visited_on, words=_("Visited"), url=url, mark="visited")
        if asked.closed_on is not None:
            detail = str(asked.get_outcome_display())
            yield Entry(on=asked.closed_on, words=_("Help closed"), url=url, mark="closed", detail=detail)


def actions(household: Household, member: StaffMember) -> Iterator[Action]:
    """Recording a help request or a complaint, and the sheet to print."""
    if member.role not in WITH_CONTACT_DATA or household.merged_into_id:
        return
    about = f"?household={household.pk}"
    yield Action(words=_("Record a help request"), url=reverse("help_add") + about)
    if member.role in OFFICE:
        yield Action(words=_("Record a complaint"), url=reverse("complaint_add") + about)
    yield Action(words=_("Print their sheet"), url=reverse("household_sheet", args=[household.pk]))


def panel(household: Household, member: StaffMember) -> dict[str, Any] | None:
    """What of theirs is not closed, for those who may open it."""
    if member.role not in WITH_CONTACT_DATA:
        return None
    waiting = HelpRequest.objects.counted_for(household).not_closed().with_details()
    return {"waiting": waiting} if waiting else None
