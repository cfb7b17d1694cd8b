"""Which wave an answer belongs to, who has been asked, who answered, who is silent.

A household is asked, wave by wave, so many months after its first bin went home, if it still lives there
on that day. Whether it gave the bin back does not matter: it may compost on without, or say that it stopped.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import zip_longest

from django.db.models import Count, Exists, F, Min, OuterRef, Q, Subquery
from django.db.models.expressions import CombinedExpression
from django.db.models.functions import ExtractDay, ExtractMonth, ExtractYear

from outreach.bins.models.handouts import Handout
from outreach.followup.due_days import due_on, latest_handout_due
from outreach.followup.models import Answer, Wave
from outreach.followup.phrases import AnswerQuerySet
from outreach.households.models import Household
from outreach.households.months import MONTHS_A_YEAR
from outreach.households.querysets import HouseholdQuerySet
from outreach.places.models import Jurisdiction


def open_waves() -> list[Wave]:
    """Those that are asked, the earliest first."""
    return list(Wave.objects.filter(is_open=True))


def first_handouts(root_ids: Iterable[int]) -> dict[int, date]:
    """The day on which each household's first bin went home, for those that have one."""
    standing = Handout.objects.standing().order_by().filter(counted_under__in=set(root_ids))
    return dict(standing.values_list("counted_under").annotate(first=Min("handed_on")))


def wave_of(first_handed_on: date | None, answered_on: date, waves: Sequence[Wave]) -> Wave | None:
    """The latest wave due by the day of the answer; none before the first, or without a bin."""
    if first_handed_on is None:
        return None
    due = [wave for wave in waves if due_on(first_handed_on, wave.months_after) <= answered_on]
    return max(due, key=lambda wave: wave.months_after, default=None)


def asked(wave: Wave, *, on: date, since: date | None = None) -> HouseholdQuerySet:
    """Households whose wave came due by `on` (and not before `since`), while they lived there."""
    with_first = Household.objects.roots().annotate(first_handed_on=_first_handout())
    due = with_first.filter(first_handed_on__lte=latest_handout_due(on, wave.months_after))
    if since is not None:
        day_before = since - timedelta(days=1)
        due = due.filter(first_handed_on__gt=latest_handout_due(day_before, wave.months_after))
    return due.alias(months_there=_months_there()).exclude(_moved_before_due(wave))


def answered(wave: Wave, *, on: date, since: date | None = None) -> HouseholdQuerySet:
    """Those of the asked whose answer to this wave counts."""
    return asked(wave, on=on, since=since).filter(_has(Answer.objects.counting(), wave, on))


def silent(wave: Wave, *, on: date, since: date | None = None) -> HouseholdQuerySet:
    """Those of the asked who said nothing; an answer that waits in review is not silence."""
    return asked(wave, on=on, since=since).exclude(_has(Answer.objects.current(), wave, on))


def due(*, on: date) -> HouseholdQuerySet:
    """Households that owe an answer to the latest open wave that has come due for them."""
    waves = open_waves()
    owing = Household.objects.none()
    for wave, later in zip_longest(waves, waves[1:]):
        rows = silent(wave, on=on)
        if later is not None:
            not_yet_later = Q(first_handed_on__gt=latest_handout_due(on, later.months_after))
            rows = rows.filter(not_yet_later)
        owing = owing | Household.objects.filter(pk__in=rows.values("pk"))
    return owing


@dataclass(frozen=True, slots=True, kw_only=True)
class Response:
    """How one wave was answered in one jurisdiction (None: outside the places served)."""

    wave: Wave
    jurisdiction: Jurisdiction | None
    asked: int
    answered: int
    in_review: int

    @property
    def silent(self) -> int:
        return self.asked - self.answered - self.in_review

    @property
    def percent(self) -> float | None:
        """Answers that count, in percent of those asked."""
        return 100 * self.answered / self.asked if self.asked else None


def responses(*, on: date, since: date | None = None) -> list[Response]:
    """Every wave in every jurisdiction where someone was asked; one statement for each wave."""
    jurisdictions = Jurisdiction.objects.in_bulk()
    return [
        Response(wave=wave, jurisdiction=jurisdictions.get(row.pop("place")), **row)
        for wave in Wave.objects.all()
        for row in _counted(wave, on, since)
    ]


def _counted(wave: Wave, on: date, since: date | None) -> "Iterable[dict[str, int]]":
    counting = _has(Answer.objects.counting(), wave, on)
    waiting = _has(Answer.objects.in_review(), wave, on)
    rows = asked(wave, on=on, since=since).order_by("jurisdiction__name")
    return (
        rows.annotate(counts=counting, waits=waiting)
        .values(place=F("jurisdiction"))
        .annotate(
            asked=Count("pk"),
            answered=Count("pk", filter=Q(counts=True)),
            in_review=Count("pk", filter=Q(counts=False, waits=True)),
        )
    )


def _first_handout() -> Subquery:
    theirs = Handout.objects.standing().filter(counted_under=OuterRef("pk")).order_by()
    return Subquery(theirs.values("counted_under").annotate(first=Min("handed_on")).values("first"))


def _months_there() -> CombinedExpression:
    """Calendar months from the first handout to the move; none while they live there."""
    return (ExtractYear("ended_on") - ExtractYear("first_handed_on")) * MONTHS_A_YEAR + (
        ExtractMonth("ended_on") - ExtractMonth("first_handed_on")
    )


def _moved_before_due(wave: Wave) -> Q:
    """They moved on the due day or before; a day of the month past its end counts as its last."""
    months = wave.months_after
    same_month = Q(months_there=months, ended_on__day__lte=ExtractDay("first_handed_on"))
    return Q(ended_on__isnull=False) & (Q(months_there__lt=months) | same_month)


def _has(answers: AnswerQuerySet, wave: Wave, on: date) -> Exists:
    return Exists(answers.of_wave(wave).filter(counted_under=OuterRef("pk"), answered_on__lte=on))
