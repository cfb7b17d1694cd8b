"""Answers that ask for help become help requests, each once, however the answer came in."""

from collections.abc import Iterator
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
    return sum(open_for(answer, at) for answer in wanting)


def open_for(answer: Answer, at: datetime) -> bool:
    """Open one for this answer, unless it, or one that it corrects, has one; whether it was opened."""
    if HelpRequest.objects.made_from_any(map(made_from, _with_corrected(answer))):
        return False
    _open(answer, at)
    return True


def made_from(answer: Answer) -> str:
    """Under which a help request says that it comes from this answer."""
    return f"answer {answer.pk}"


def _with_corrected(answer: Answer) -> Iterator[Answer]:
    """The answer, and those that it took the place of."""
    one: Answer | None = answer
    while one is not None:
        yield one
        one = one.corrects


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
