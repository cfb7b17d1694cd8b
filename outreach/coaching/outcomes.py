"""The question two weeks after advice: did it help? Asked once, answered by link or told to the office."""

from datetime import datetime
from typing import Any

from django.core.exceptions import ValidationError
from django.db import transaction
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from outreach.coaching import reaching
from outreach.coaching.models import HelpRequest, HelpStep
from outreach.post import links, posting

QUESTION = "help.outcome_question"
PURPOSE = "help.outcome"


def ask_due(at: datetime) -> int:
    """Ask everybody whose two weeks are over and who was not asked; run it as often as you like."""
    due = HelpRequest.objects.outcome_to_ask(timezone.localdate(at))
    return sum(_ask(pk, at) for pk in due.values_list("pk", flat=True))


@transaction.atomic
def _ask(pk: int, at: datetime) -> int:
    on = timezone.localdate(at)
    # Looked at again under the lock: another worker may have asked meanwhile.
    due = HelpRequest.objects.select_for_update(of=("self",)).outcome_to_ask(on).filter(pk=pk).first()
    if due is None:
        return 0
    to = reaching.addressee_of(due)
    posting.post(
        kind=QUESTION,
        to=to,
        values={"name": to.name, "link": links.public_url(link_path(due))},
        dedupe_key=f"{QUESTION}:{due.pk}:{due.advised_on}",
        at=at,
        about_url=reverse("help_request", args=[due.pk]),
    )
    due.outcome_asked_on = on
    due.full_clean()
    due.save(update_fields=["outcome_asked_on"])
    step = HelpStep(help_request=due, kind=HelpStep.Kind.OUTCOME_ASKED, done_on=on, entered_at=at)
    step.full_clean()
    step.save()
    return 1


def link_path(asked: HelpRequest) -> str:
    """Where they say whether it helped. The link opens this one request and tells nothing about it."""
    return reverse("help_outcome", args=[links.make(PURPOSE, {"request": asked.pk})])


def request_of(token: str) -> HelpRequest:
    """The request that a link is about. Raises `links.LinkBroken`."""
    payload: dict[str, Any] = links.read(PURPOSE, token)
    found = HelpRequest.objects.filter(pk=payload.get("request") or 0).first()
    if found is None:
        raise links.LinkBroken
    return found


@transaction.atomic
def tell(*, request: HelpRequest, outcome: str, words: str, at: datetime) -> HelpRequest:
    """Keep what they say came of it; they may say it again until the office has closed it."""
    locked = HelpRequest.objects.select_for_update(of=("self",)).get(pk=request.pk)
    if locked.is_closed:
        raise ValidationError(_("This question is closed. Ask for help again if you need it."))
    locked.outcome, locked.outcome_note = outcome, words
    locked.full_clean()
    locked.save(update_fields=["outcome", "outcome_note"])
    said = words or str(locked.get_outcome_display())
    step = HelpStep(
        help_request=locked,
        kind=HelpStep.Kind.OUTCOME_TOLD,
        done_on=timezone.localdate(at),
        words=said,
        entered_at=at,
    )
    step.full_clean()
    step.save()
    return locked
