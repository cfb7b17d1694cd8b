"""What is still missing before each step of the end, one sentence each with where to go."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date

from django.db.models import Max
from django.urls import reverse
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from outreach.bins.models import BinOrder, Handout, StockBalance
from outreach.bins.models.promises import Promise
from outreach.ending.models import EndStep
from outreach.filings.models import Filing, FilingDraft
from outreach.households.forgotten_models import ForgettingHold
from outreach.workshops.models import Workshop

Step = EndStep.Step
BEFORE_DESTROYING = (Step.LAST_FILING, Step.SIGN_UP, Step.BINS, Step.RETENTION, Step.OPEN_FILES)


@dataclass(frozen=True, slots=True)
class Missing:
    """A sentence, and the page on which it is put right."""

    sentence: str
    url: str = ""


def before(step: str, *, on: date) -> list[Missing]:
    """Everything that a step waits for."""
    return list(_WAITS_FOR[Step(step)](on))


def _last_filing(on: date) -> Iterator[Missing]:
    drafts = FilingDraft.objects.count()
    if drafts:
        words = ngettext("%(n)s draft is open. Submit or discard it.", "%(n)s drafts are open.", drafts)
        yield Missing(words % {"n": drafts}, reverse("filings"))
    filed = Filing.objects.standing().aggregate(last=Max("last_day_on"))["last"]
    if filed is None:
        yield Missing(_("Nothing has been filed."), reverse("filing_begin"))
        return
    later = Handout.objects.standing().filter(handed_on__gt=filed).count()
    later += Workshop.objects.took_place().filter(held_on__gt=filed).count()
    if later:
        words = _("%(n)s workshops and handouts are dated after %(day)s, the last day that was filed.")
        yield Missing(words % {"n": later, "day": date_format(filed, "j F Y")}, reverse("filing_begin"))


def _sign_up(on: date) -> Iterator[Missing]:
    planned = Workshop.objects.planned().count()
    if planned:
        words = ngettext(
            "%(n)s workshop is still planned. Hold it or cancel it.",
            "%(n)s workshops are still planned. Hold or cancel them.",
            planned,
        )
        yield Missing(words % {"n": planned}, reverse("workshops"))


def _bins(on: date) -> Iterator[Missing]:
    coming = BinOrder.objects.outstanding().count()
    if coming:
        words = ngettext(
            "%(n)s order is still to come. Cancel it.", "%(n)s orders are still to come.", coming
        )
        yield Missing(words % {"n": coming}, reverse("orders"))
    short = StockBalance.objects.filter(on_hand__lt=0).count()
    if short:
        yield Missing(
            _("The ledger is below zero at %(n)s places. Count them.") % {"n": short}, reverse("bins")
        )
    owed = Promise.objects.kept().count()
    if owed:
        words = _("%(n)s bins are promised to households. Hand them out or let the promises go.")
        yield Missing(words % {"n": owed}, reverse("owed_bins"))


def _retention(on: date) -> Iterator[Missing]:
    yield from _undone((Step.SIGN_UP,))


def _open_files(on: date) -> Iterator[Missing]:
    yield from _undone((Step.LAST_FILING, Step.SIGN_UP, Step.BINS, Step.RETENTION))


def _contact_data(on: date) -> Iterator[Missing]:
    yield from _undone(BEFORE_DESTROYING)
    last = ForgettingHold.objects.in_force(on).first()
    if last is not None:
        words = _("Records are held until %(day)s, such as for an audit. Nothing is destroyed before that.")
        yield Missing(words % {"day": date_format(last.until_on, "j F Y")}, reverse("households"))


def _undone(steps: tuple[Step, ...]) -> Iterator[Missing]:
    said = EndStep.objects.all().latest_of_each()
    for step in steps:
        if step not in said or not said[step].is_done:
            yield Missing(_("First: %(step)s.") % {"step": step.label})


_WAITS_FOR: Mapping[Step, Callable[[date], Iterator[Missing]]] = {
    Step.LAST_FILING: _last_filing,
    Step.SIGN_UP: _sign_up,
    Step.BINS: _bins,
    Step.RETENTION: _retention,
    Step.OPEN_FILES: _open_files,
    Step.CONTACT_DATA: _contact_data,
}
