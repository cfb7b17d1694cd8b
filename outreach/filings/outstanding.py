"""What is missing before a report can be filed, counted once for each period however many places report it."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from django.db.models import Count, QuerySet
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from outreach.bins.models import StockCount, StockMovement
from outreach.filings.gathering import DAYS_LOOKED_AHEAD
from outreach.filings.models import FilingDraft
from outreach.filings.periods import Period
from outreach.followup.models import Answer
from outreach.intake.models import PaperworkRow
from outreach.places.models import Jurisdiction
from outreach.workshops.models import Workshop

Days = tuple[date, date]


@dataclass(frozen=True, slots=True, kw_only=True)
class Missing:
    """One thing to do before filing, in words, and where it is done."""

    words: str
    url: str


class Outstanding:
    """What is open of the days of some periods, by jurisdiction; the number of queries goes with the days alone."""

    def __init__(self, of: Iterable[Period]) -> None:
        self.paperwork_rows = PaperworkRow.objects.for_review().count()
        self.workshops: dict[Days, dict[int | None, int]] = {}
        self.answers: dict[Days, dict[int | None, int]] = {}
        self.is_stock_uncounted: dict[Days, bool] = {}
        for days in {(one.first_day, one.last_day) for one in of}:
            ahead = days[1] + timedelta(days=DAYS_LOOKED_AHEAD - 1)
            workshops = Workshop.objects.held_between(*days).not_closed()
            answers = Answer.objects.in_review().answered_between(days[0], ahead)
            self.workshops[days] = _by(workshops, "jurisdiction")
            self.answers[days] = _by(answers, "counted_under__jurisdiction")
            moved = StockMovement.objects.moved_between(*days).exists()
            self.is_stock_uncounted[days] = moved and not StockCount.objects.counted_between(*days).exists()


def _by(rows: "QuerySet[Workshop] | QuerySet[Answer]", column: str) -> dict[int | None, int]:
    counted = rows.order_by().values_list(column).annotate(n=Count("pk"))
    return dict(counted)


def missing(
    known: Outstanding, period: Period, jurisdiction: Jurisdiction | None, draft: FilingDraft | None
) -> Iterator[Missing]:
    """What is to be done before this report; None is all jurisdictions together."""
    days = (period.first_day, period.last_day)
    if count := _of(known.workshops[days], jurisdiction):
        words = ngettext("%(count)d workshop is not closed", "%(count)d workshops are not closed", count)
        yield Missing(words=words % {"count": count}, url=reverse("workshops"))
    if known.is_stock_uncounted[days]:
        yield Missing(words=_("the stock was not counted"), url=reverse("bins"))
    if count := _of(known.answers[days], jurisdiction):
        words = ngettext("%(count)d answer to look at", "%(count)d answers to look at", count)
        yield Missing(words=words % {"count": count}, url=reverse("answers_review"))
    if count := known.paperwork_rows:
        words = ngettext(
            "%(count)d row of paperwork to look at", "%(count)d rows of paperwork to look at", count
        )
        yield Missing(words=words % {"count": count}, url=reverse("intake_review"))
    if draft and draft.findings_open:
        words = ngettext(
            "%(count)d finding in the draft to mend or answer",
            "%(count)d findings in the draft to mend or answer",
            draft.findings_open,
        )
        yield Missing(words=words % {"count": draft.findings_open}, url=draft.get_absolute_url())


def _of(counted: dict[int | None, int], jurisdiction: Jurisdiction | None) -> int:
    return counted.get(jurisdiction.pk, 0) if jurisdiction else sum(counted.values())
