"""What was entered after a filing about its period, and whether filing again would say something else.

A filing stays as it was. What came later is marked on its page, and held against today's records it says
which of its figures would be printed otherwise, that is, moved by more than their rounding.
"""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

from django.db.models import Count, Max, Min, Value
from django.utils.translation import gettext as _

from outreach.bins.models import Handout
from outreach.filings import composing
from outreach.filings.gathering import DAYS_LOOKED_AHEAD, Scope
from outreach.filings.models import Filing
from outreach.filings.report import Headline, Report
from outreach.followup.models import Answer
from outreach.funding.models import Cost, Hours

# Season looks at the last so many filings that stand.
FILINGS_WATCHED = 8


@dataclass(frozen=True, slots=True, kw_only=True)
class Later:
    """Rows of one kind about a filing's period that were entered after it was submitted."""

    kind: str
    rows: int
    first_about: date
    last_about: date
    last_entered_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """One headline: as filed, as today's records would have it, and whether it would be printed otherwise."""

    words: str
    unit: str
    filed: str
    today: str

    @property
    def has_moved(self) -> bool:
        return self.filed != self.today


def entered_since(filing: Filing) -> list[Later]:
    """Handouts, answers, costs and hours of its scope and period; answers up to 45 days after it."""
    found = (_later(words, rows, about) for words, rows, about in _rows_since(filing))
    return [one for one in found if one is not None]


def _rows_since(filing: Filing) -> list[tuple[str, Any, str]]:
    """Kind by kind the rows that were entered after it was submitted, and the field that dates them."""
    days = (filing.first_day_on, filing.last_day_on)
    ahead = filing.last_day_on + timedelta(days=DAYS_LOOKED_AHEAD - 1)
    handouts = Handout.objects.standing().handed_between(*days)
    answers = Answer.objects.current().answered_between(filing.first_day_on, ahead)
    costs = Cost.objects.standing().spent_between(*days)
    hours = Hours.objects.standing().given_between(*days)
    if place := filing.jurisdiction:
        handouts, answers = handouts.in_area_of(place), answers.of_jurisdiction(place)
        costs, hours = costs.filter(workshop__jurisdiction=place), hours.filter(workshop__jurisdiction=place)
    kinds = (
        (_("Handouts"), handouts, "handed_on"),
        (_("Answers"), answers, "answered_on"),
        (_("Costs"), costs, "spent_on"),
        (_("Unpaid hours"), hours, "given_on"),
    )
    after = filing.submitted_at
    return [(words, rows.filter(entered_at__gt=after).order_by(), about) for words, rows, about in kinds]


def _later(kind: str, entered: Any, about: str) -> Later | None:
    count = entered.count()
    if not count:
        return None
    ends = entered.aggregate(first=Min(about), last=Max(about), at=Max("entered_at"))
    return Later(
        kind=kind, rows=count, first_about=ends["first"], last_about=ends["last"], last_entered_at=ends["at"]
    )


def held_against_today(filing: Filing, *, on: date) -> list[Held]:
    """Every headline of a filing beside the one that filing again today, with its choices, would print."""
    occasion = composing.compose(
        filing.filed_period,
        scope=Scope(jurisdiction=filing.jurisdiction),
        cut_off=on,
        choices=filing.settings,
    )
    filed = _printed(Report.from_dict(filing.report).headlines)
    today = _printed(composing.report_of(occasion).headlines)
    return [
        Held(
            words=words,
            unit=unit,
            filed=filed.get((words, unit), _("no estimate")),
            today=today.get((words, unit), _("no estimate")),
        )
        for words, unit in dict.fromkeys((*filed, *today))
    ]


def _printed(headlines: Iterable[Headline]) -> dict[tuple[str, str], str]:
    return {(one.words, one.unit): one.number.printed for one in headlines}


def filings_with_later_rows() -> list[tuple[Filing, int]]:
    """Of the last filings that stand, those about whose period something was entered since, with how much.

    Two queries, however many filings are watched.
    """
    last = list(Filing.objects.standing().with_names().without_contents()[:FILINGS_WATCHED])
    counts = [
        rows.values(about=Value(filing.pk)).annotate(rows=Count("pk"))
        for filing in last
        for _words, rows, _dated_by in _rows_since(filing)
    ]
    found: Counter[int] = Counter()
    for one in counts[0].union(*counts[1:], all=True) if counts else ():
        found[one["about"]] += one["rows"]
    return [(filing, found[filing.pk]) for filing in last if found[filing.pk]]
