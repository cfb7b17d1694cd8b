"""What Season says: what comes next, what is due, what runs short, what waits for a person."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.urls import reverse
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from outreach.bins import running_short
from outreach.bins.models import BinModel, Promise, RuleException
from outreach.coaching.models import HelpRequest, HelpRequestQuerySet
from outreach.filings import due, since
from outreach.followup import waves
from outreach.followup.models import Answer, WeighedWeek
from outreach.households import retention_news
from outreach.intake.models import PaperworkRow
from outreach.post.models import Message
from outreach.staff import backups
from outreach.workshops.models import Workshop, WorkshopQuerySet

SOON = timedelta(days=14)
BACKUP_AT_LEAST_EVERY = timedelta(days=7)
WORKSHOPS_SHOWN = 8


@dataclass(frozen=True, slots=True, kw_only=True)
class Point:
    """One part of Season's first sentence, or one thing that waits: words and where they lead."""

    words: str
    url: str
    kind: str = "info"


@dataclass(frozen=True, slots=True, kw_only=True)
class SeasonFacts:
    """Everything on the page."""

    sentence: tuple[Point, ...]
    coming: WorkshopQuerySet
    shortages: tuple[running_short.Shortage, ...]
    waiting: tuple[Point, ...]
    complaints: HelpRequestQuerySet
    filings: tuple[due.FilingDue, ...]
    backup: Point | None


def season_facts(*, on: date, at: datetime) -> SeasonFacts:
    shortages = tuple(running_short.runs_short(on))
    filings = tuple(due.filings_due(on))
    return SeasonFacts(
        sentence=tuple(_sentence(on, shortages, filings)),
        coming=Workshop.objects.coming(on).with_names()[:WORKSHOPS_SHOWN],
        shortages=shortages,
        waiting=tuple(_waiting(on, at)),
        complaints=HelpRequest.objects.complaints().not_closed().first_due_first().with_details(),
        filings=filings,
        backup=_backup(at),
    )


def _sentence(
    on: date, shortages: tuple[running_short.Shortage, ...], filings: tuple[due.FilingDue, ...]
) -> Iterator[Point]:
    soon = Workshop.objects.coming(on).held_between(on, on + SOON).count()
    words = ngettext(
        "%(count)d workshop in the next 14 days", "%(count)d workshops in the next 14 days", soon
    )
    yield Point(words=words % {"count": soon}, url=reverse("workshops"))
    if shortages:
        first = shortages[0]
        words = _("bins will run out on %(day)s") % {"day": date_format(first.runs_out_on, "j F")}
        yield Point(words=words, url=reverse("bins"), kind="soon")
    yield from _owed()
    owing = waves.due(on=on).count()
    words = ngettext("%(count)d household owes an answer", "%(count)d households owe an answer", owing)
    yield Point(words=words % {"count": owing}, url=reverse("followup"))
    open_filings = [one for one in filings if not one.is_filed]
    if open_filings:
        words = ngettext(
            "%(count)d report is to be filed, by %(day)s",
            "%(count)d reports are to be filed, the first by %(day)s",
            len(open_filings),
        )
        day = date_format(open_filings[0].due_on, "j F Y")
        yield Point(
            words=words % {"day": day, "count": len(open_filings)},
            url=reverse("filings"),
            kind="soon",
        )
    yield from _came_later()


def _came_later() -> Iterator[Point]:
    """Rows about a filed period that were entered after it was filed."""
    for filing, rows in since.filings_with_later_rows():
        words = ngettext(
            "%(count)d row came after %(period)s was filed: see whether a figure would move",
            "%(count)d rows came after %(period)s was filed: see whether a figure would move",
            rows,
        )
        said = words % {"count": rows, "period": filing.filed_period.name}
        yield Point(words=said, url=reverse("filing_today", args=[filing.pk]), kind="soon")


def _owed() -> Iterator[Point]:
    """Bins that households went home without."""
    first = Promise.objects.owed().values_list("promised_for_on", flat=True).first()
    if first is None:
        return
    count = Promise.objects.owed().count()
    words = ngettext(
        "%(count)d bin is owed, by %(day)s", "%(count)d bins are owed, the first by %(day)s", count
    )
    said = words % {"count": count, "day": date_format(first, "j F")}
    yield Point(words=said, url=reverse("owed_bins"), kind="soon")


def _waiting(on: date, at: datetime) -> Iterator[Point]:
    """Things that no rule can settle, each with how many there are."""
    kinds = (
        (PaperworkRow.objects.for_review().count(), _("rows of paperwork to look at"), "intake_review"),
        (Answer.objects.in_review().count(), _("answers to look at"), "answers_review"),
        (WeighedWeek.objects.in_review().count(), _("weighed weeks to look at"), "weighed_weeks_review"),
        (RuleException.objects.without_reason().count(), _("exceptions without a reason"), "exceptions"),
        (BinModel.objects.to_confirm().count(), _("bin models to confirm"), "bin_models"),
        (HelpRequest.objects.due_by(on).count(), _("help requests due"), "help"),
        (retention_news.held_past_their_date(), _("households held past their retention date"), "holds"),
        (Message.objects.calls().due(at).count(), _("calls to make today"), "calls"),
        (Message.objects.letters().due(at).count(), _("letters to print"), "letters"),
    )
    for count, words, url_name in kinds:
        if count:
            yield Point(words=f"{count:,} {words}", url=reverse(url_name), kind="wrong")
    if words := retention_news.not_done(at):
        yield Point(words=words, url=reverse("retention"), kind="soon")
    if given_up := Message.objects.given_up().count():
        url = f"{reverse('messages')}?state={Message.State.GIVEN_UP}"
        yield Point(words=f"{given_up:,} {_('messages given up')}", url=url, kind="wrong")


def _backup(at: datetime) -> Point | None:
    last = backups.last_made_at()
    if last is not None and at - last <= BACKUP_AT_LEAST_EVERY:
        return None
    if last is None:
        words = _("No backup has been made yet. On the machine, run manage.py back_up with a folder.")
    else:
        day = date_format(last, "j F Y")
        words = _("The last backup is of %(day)s, more than a week ago. Run manage.py back_up.") % {
            "day": day
        }
    return Point(words=words, url="", kind="soon")
