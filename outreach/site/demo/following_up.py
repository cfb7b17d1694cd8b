"""The demo's follow-up: waves opened, reminders sent, answers by link, calls made; and how long contact is kept."""

from datetime import datetime, timedelta
from itertools import count, cycle
from typing import Any

from django.db import transaction
from django.utils import timezone

from outreach.followup import answering_by_link, calling, opening, reminding
from outreach.followup.link_forms import FirstPage, SecondPage
from outreach.followup.models import FollowUpCall, Invitation
from outreach.households import consent, holding_back, retention
from outreach.post import settling
from outreach.post.models import Message
from outreach.site.demo import scenario
from outreach.staff.models import StaffMember

OUT_OF = 7
# Of those who do not answer the phone, and the one who would rather not be called.
NOT_REACHED, NOT_TO_CALL = 4, 1


@transaction.atomic
def ask(*, by: StaffMember, at: datetime) -> None:
    """Ask, let some answer, remind the others, let some answer again; what is left is due today."""
    plan = scenario.set_up()["follow_up"]
    says = cycle(plan["says"])
    for days_ago, share in zip(plan["asked_days_ago"], plan["answered_of_seven"], strict=True):
        then = at - timedelta(days=days_ago)
        if not Invitation.objects.exists():
            opening.open_due(then)
        reminding.settle_due(then)
        reminding.remind_due(then)
        _send(then)
        _answer(then + timedelta(days=2), share, says)
    _one_says_no(at - timedelta(days=6))
    reminding.settle_due(at)
    _call(by, at)


@transaction.atomic
def keep_for_so_long(*, by: StaffMember, at: datetime) -> None:
    """Set it, hold one household for an audit, and look once."""
    plan = scenario.set_up()["follow_up"]
    retention.set_schedule(
        months_after_use=plan["kept_for_months"],
        months_in_use=plan["kept_in_use_for_months"],
        by=by,
        at=at,
    )
    first = Invitation.objects.order_by("pk").first()
    if first is not None:
        holding_back.hold(
            household=first.counted_under,
            reason=plan["held_because"],
            until_on=timezone.localdate(at) + timedelta(days=plan["held_for_days"]),
            by=by,
            at=at,
        )
    retention.forget_due(at=at, by=by)


def _send(at: datetime) -> None:
    """As if a mail server had taken them."""
    waiting = Message.objects.in_group("invitation:").mails()
    for message in waiting.due(at):
        settling.note_told(message=message, still=waiting.not_told(), state=Message.State.SENT, at=at)


def _answer(at: datetime, share: int, says: Any) -> None:
    """So many out of seven of those who have not answered and were mailed."""
    silent = Invitation.objects.chased().filter(channel=Message.Channel.EMAIL).order_by("pk")
    for number, invitation in zip(count(), silent):
        if number % OUT_OF < share:
            answering_by_link.keep(
                invitation=invitation,
                said=_said(next(says)),
                channel="link",
                at=at + timedelta(hours=number % 160),
            )


def _said(chosen: dict[str, Any]) -> dict[str, Any]:
    """As the two pages of the form hand it on."""
    said: dict[str, Any] = {}
    for page in (FirstPage(chosen), SecondPage(chosen, asks_before=True)):
        if not page.is_valid():
            raise ValueError(page.errors)
        said |= page.said()
    return said


def _one_says_no(at: datetime) -> None:
    last = Invitation.objects.chased().order_by("-pk").first()
    if last is not None:
        consent.say(
            household=last.household,
            purpose=consent.Purpose.FOLLOW_UP,
            is_given=False,
            how=consent.How.LINK,
            at=at,
        )


def _call(by: StaffMember, at: datetime) -> None:
    """What came of the first calls of this morning."""
    to_call = Invitation.objects.chased().filter(channel=Message.Channel.CALL).order_by("pk")
    replies = [FollowUpCall.Reply.NO_REPLY] * NOT_REACHED + [FollowUpCall.Reply.NOT_TO_CALL] * NOT_TO_CALL
    for number, (invitation, reply) in enumerate(zip(to_call, replies, strict=False)):
        calling.record(
            household=invitation.household, reply=reply, by=by, at=at - timedelta(minutes=5 * (number + 1))
        )
