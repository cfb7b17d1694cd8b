"""Answers received in a period, counted for a filing."""

from dataclasses import dataclass
from datetime import date

from outreach.followup.models import Answer
from outreach.places.models import Jurisdiction


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerCounts:
    """Answers dated in a period, and those among them that wait in review and count nowhere yet."""

    answers: int
    in_review: int


def counts_between(first_day: date, last_day: date, *, jurisdiction: Jurisdiction | None) -> AnswerCounts:
    answers = Answer.objects.current().answered_between(first_day, last_day)
    if jurisdiction is not None:
        answers = answers.of_jurisdiction(jurisdiction)
    return AnswerCounts(answers=answers.count(), in_review=answers.in_review().count())
