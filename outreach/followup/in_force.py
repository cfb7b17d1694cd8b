"""From which day until which an answer is its household's latest.

Worked out from all counting answers of a household, merged ones included, whatever the order in which they
were recorded. Of two on one day the one received, then entered, later is in force; the other never is.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence

from django.db import transaction

from outreach.bins.models.handouts import NO_END_DAY
from outreach.followup.models import Answer
from outreach.staff import many_rows

DAYS = ("in_force_from_day", "in_force_until_day")
AT_ONCE = 2_000
NEVER = (0, 0)


def days_of(answers: Sequence[Answer]) -> list[tuple[int, int]]:
    """The days in force of each of one household's answers, given in the order they were recorded."""
    days = [NEVER] * len(answers)
    counting = [number for number, answer in enumerate(answers) if answer.is_current and not answer.waits]
    counting.sort(key=lambda n: (answers[n].answered_on, answers[n].received_on, answers[n].entered_at))
    until = NO_END_DAY
    for number in reversed(counting):
        day = answers[number].answered_on.toordinal()
        if day < until:
            days[number], until = (day, until), day
    return days


def set_days(answers: Sequence[Answer]) -> list[Answer]:
    """Write the days onto one household's answers, not yet to the database; return those that changed."""
    changed = []
    for answer, days in zip(answers, days_of(answers), strict=True):
        if days != (answer.in_force_from_day, answer.in_force_until_day):
            answer.in_force_from_day, answer.in_force_until_day = days
            changed.append(answer)
    return changed


def write_days(changed: Iterable[Answer]) -> None:
    """Save changed days; first lets go of what is open, so that no household has two latest answers."""
    rows = list(changed)
    Answer.objects.filter(pk__in=[one.pk for one in rows], in_force_until_day=NO_END_DAY).update(
        in_force_from_day=0, in_force_until_day=0
    )
    many_rows.update_records(rows, DAYS)


@transaction.atomic
def rebuild(root_ids: Iterable[int]) -> int:
    """Work the days out again for these households (roots of merges); return how many rows changed."""
    count = 0
    for ids in _chunks(sorted(set(root_ids))):
        changed = _out_of_step(ids)
        write_days(changed)
        count += len(changed)
    return count


def _out_of_step(root_ids: list[int]) -> list[Answer]:
    theirs: dict[int, list[Answer]] = defaultdict(list)
    for answer in Answer.objects.filter(counted_under__in=root_ids).order_by("pk"):
        theirs[answer.counted_under_id].append(answer)
    return [answer for answers in theirs.values() for answer in set_days(answers)]


def differing() -> list[str]:
    """What is out of step, one sentence each."""
    return [
        f"Answer {answer.pk} has other days in force than its household's answers give."
        for ids in _chunks(_roots_with_answers())
        for answer in _out_of_step(ids)
    ]


def rebuild_all() -> None:
    """Work the days of every household out again."""
    rebuild(_roots_with_answers())


def _roots_with_answers() -> list[int]:
    return list(Answer.objects.order_by("counted_under").values_list("counted_under", flat=True).distinct())


def _chunks(ids: list[int]) -> Iterator[list[int]]:
    for start in range(0, len(ids), AT_ONCE):
        yield ids[start : start + AT_ONCE]
