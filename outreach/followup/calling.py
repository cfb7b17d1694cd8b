"""Calls to households that owe an answer: what came of each, and who is not called."""

from datetime import datetime, timedelta

from django.db import transaction

from outreach.followup import asking_messages
from outreach.followup.models import FollowUpCall, Invitation
from outreach.households import consent
from outreach.households.models import Household
from outreach.staff.models import StaffMember

Reply = FollowUpCall.Reply

# Whoever did not pick up is called at another time of another day. Common practice, no source.
CALL_AGAIN_AFTER = timedelta(hours=20)


@transaction.atomic
def record(*, household: Household, reply: str, by: StaffMember, at: datetime) -> FollowUpCall:
    """Keep what came of a call. Whoever is not to be called gets a letter where we would have called."""
    root = household.counted_under
    call = FollowUpCall(household=household, counted_under=root, reply=reply, called_at=at, called_by=by)
    call.full_clean()
    call.save()
    if reply == Reply.NOT_TO_CALL:
        for invitation in Invitation.objects.counted_for(root).chased():
            asking_messages.take_back_calls(invitation, at)
    return call


def may_call(household: Household) -> bool:
    """Whether the household, under whichever record, has not asked to be left alone on the phone."""
    said = FollowUpCall.objects.counted_for(household.counted_under).on_calling().first()
    return said is None or said.reply == Reply.MAY_CALL


def not_to_call() -> set[int]:
    """Households (their roots) that asked not to be called."""
    latest: dict[int, str] = {}
    for root, reply in FollowUpCall.objects.on_calling().values_list("counted_under", "reply"):
        latest.setdefault(root, reply)
    return {root for root, reply in latest.items() if reply == Reply.NOT_TO_CALL}


def not_called_now(at: datetime) -> set[int]:
    """Households that are not called now: they said so, want no questions, or did not pick up a while ago."""
    tried = FollowUpCall.objects.without_reply(since=at - CALL_AGAIN_AFTER).roots()
    return not_to_call() | tried | consent.households_that_said_no(consent.Purpose.FOLLOW_UP)
