"""Answers that ask for help become help requests, each once, however the answer came in."""

from datetime import datetime, timedelta

from django.utils import timezone

from outreach.coaching import helping
from outreach.coaching.helping import Act, Asked
from outreach.coaching.models import HelpRequest
from outreach.followup.models import Answer

# Older paperwork is history: nobody waits any more for a call about a pile of last year. Ours.
STILL_WAITED_FOR = timedelta(days=60)


def open_wanted(at: datetime) -> int:
    """Open a help request for every recent answer that asks for help and has none; how many were opened."""
    since = timezone.localdate(at) - STILL_WAITED_FOR
    wanting = Answer.objects.current().wanting_help(since=since).with_household()
    known = HelpRequest.objects.made_from_any(map(made_from, wanting))
    waiting = [one for one in wanting if made_from(one) not in known]
    for answer in waiting:
        _open(answer, at)
    return len(waiting)


def made_from(answer: Answer) -> str:
    """Under which a help request says that it comes from this answer."""
    return f"answer {answer.pk}"


def _open(answer: Answer, at: datetime) -> HelpRequest:
    asked = Asked(
        came_by=HelpRequest.CameBy.ANSWER,
        household=answer.household,
        participant=answer.participant,
        own_words=answer.problems or answer.remarks,
        language=answer.household.language,
        made_from=made_from(answer),
    )
    return helping.open_request(asked=asked, act=Act(by=answer.entered_by, at=at))
