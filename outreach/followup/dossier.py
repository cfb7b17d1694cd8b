"""What the page of a household tells about follow-up; no names or words of theirs, for analysts read it too."""

from collections.abc import Iterator

from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from outreach.followup.models import Answer, FollowUpCall, Invitation, SiteCheck, WeighIn
from outreach.followup.quantities_in_words import in_words
from outreach.households.dossier import Action, Entry
from outreach.households.models import Household
from outreach.staff.models import StaffMember
from outreach.staff.roles import OFFICE, WITH_CONTACT_DATA


def timeline(household: Household) -> Iterator[Entry]:
    """One line for each answer, corrected ones left out."""
    words = {
        "yes": _("Said that they compost"),
        "on_and_off": _("Said that they compost on and off"),
        "stopped": _("Said that they stopped composting"),
    }
    for answer in Answer.objects.current().counted_for(household):
        yield Entry(
            on=answer.answered_on,
            words=words[answer.composting],
            url=reverse("answer", args=[answer.pk]),
            mark="for_review" if answer.waits else ("composting" if answer.is_active else "stopped"),
            detail=_("waits in review, does not count yet") if answer.waits else in_words(answer),
        )


def asked_and_called(household: Household) -> Iterator[Entry]:
    """When it was asked in which wave, and what came of calls."""
    for invitation in Invitation.objects.counted_for(household).select_related("wave"):
        yield Entry(
            on=invitation.opened_on,
            words=_("Asked: %(wave)s") % {"wave": invitation.wave},
            url=reverse("asked"),
            mark="asked",
            detail=_("reminders: %(reminders)s") % {"reminders": invitation.reminders_sent},
        )
    for call in FollowUpCall.objects.counted_for(household):
        yield Entry(
            on=timezone.localdate(call.called_at),
            words=_("Called: %(reply)s") % {"reply": call.get_reply_display()},
            url=reverse("asked"),
            mark=call.reply,
        )


def seen_and_weighed(household: Household) -> Iterator[Entry]:
    """Site checks, and seasons in which it weighed; nothing of what was seen by whom."""
    for check in SiteCheck.objects.visited().counted_for(household):
        if check.checked_on is not None:
            yield Entry(
                on=check.checked_on,
                words=_("Site check: %(seen)s") % {"seen": check.get_outcome_display()},
                url=reverse("site_check", args=[check.pk]),
                mark=check.outcome,
            )
    for weigh_in in WeighIn.objects.agreed().counted_for(household).select_related("season"):
        yield Entry(
            on=weigh_in.season.from_on,
            words=_("Weighs in %(season)s") % {"season": weigh_in.season},
            url=reverse("weigh_in", args=[weigh_in.pk]),
            mark="agreed",
        )


def actions(household: Household, member: StaffMember) -> Iterator[Action]:
    if member.role in OFFICE:
        url = reverse("answer_add", args=[household.pk])
        yield Action(words=_("Enter an answer"), url=url)
    if member.role in WITH_CONTACT_DATA:
        url = reverse("site_check_add", args=[household.pk])
        yield Action(words=_("Enter a site check"), url=url)
