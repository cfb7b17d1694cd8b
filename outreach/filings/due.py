"""Which reports are due: the last fiscal quarter of each jurisdiction, and the periods of grants."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from urllib.parse import urlencode

from django.urls import reverse

from outreach.filings import outstanding, periods
from outreach.filings.models import Filing, FilingDraft
from outreach.filings.outstanding import Missing, Outstanding
from outreach.filings.periods import DAY, Period
from outreach.funding.models import GrantPeriod
from outreach.places.models import Jurisdiction

# A grant's period is shown so long before its last day.
SEEN_AHEAD = timedelta(days=30)
# And so long after its report was due.
SEEN_AFTER = timedelta(days=366)


@dataclass(frozen=True, slots=True, kw_only=True)
class FilingDue:
    """One report: whose, about which days, due when; submitted or not, and what is missing before it can be.

    `jurisdiction` is None for a report about all of them; `of` is the jurisdiction or the funding source.
    """

    of: str
    jurisdiction: Jurisdiction | None
    period: Period
    due_on: date
    filing: Filing | None
    missing: tuple[Missing, ...]
    # Not filed, and the day is past.
    is_late: bool

    @property
    def is_filed(self) -> bool:
        return self.filing is not None

    @property
    def url(self) -> str:
        if self.filing:
            return self.filing.get_absolute_url()
        chosen = {
            "jurisdiction": self.jurisdiction.pk if self.jurisdiction else "",
            "period": self.period.code,
        }
        return f"{reverse('filing_begin')}?{urlencode(chosen)}"


def filings_due(on: date) -> list[FilingDue]:
    """The first due first. A filing of all jurisdictions together covers each."""
    wanted = [*_of_jurisdictions(on), *_of_grants(on)]
    known = Outstanding([one.period for one in wanted])
    filings = _standing(wanted)
    drafts = {(one.jurisdiction_id, one.period): one for one in FilingDraft.objects.all()}
    found = []
    for one in wanted:
        filing = filings.get((one.number, one.days)) or filings.get((None, one.days))
        draft = drafts.get((one.number, one.period.code))
        missing = () if filing else tuple(outstanding.missing(known, one.period, one.jurisdiction, draft))
        found.append(
            FilingDue(
                of=one.of,
                jurisdiction=one.jurisdiction,
                period=one.period,
                due_on=one.due_on,
                filing=filing,
                missing=missing,
                is_late=filing is None and one.due_on < on,
            )
        )
    return sorted(found, key=lambda one: (one.due_on, one.of))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Wanted:
    of: str
    jurisdiction: Jurisdiction | None
    period: Period
    due_on: date

    @property
    def number(self) -> int | None:
        return self.jurisdiction.pk if self.jurisdiction else None

    @property
    def days(self) -> tuple[date, date]:
        return self.period.first_day, self.period.last_day


def _standing(wanted: list[_Wanted]) -> dict[tuple[int | None, tuple[date, date]], Filing]:
    standing = Filing.objects.standing().without_contents().ending_on({one.period.last_day for one in wanted})
    return {(one.jurisdiction_id, (one.first_day_on, one.last_day_on)): one for one in standing}


def _of_jurisdictions(on: date) -> Iterator[_Wanted]:
    for one in Jurisdiction.objects.all():
        period = last_full_quarter(on, starts_month=one.fiscal_year_starts_month)
        due_on = period.last_day + timedelta(days=one.report_due_days)
        yield _Wanted(of=one.name, jurisdiction=one, period=period, due_on=due_on)


def last_full_quarter(on: date, *, starts_month: int) -> Period:
    """The fiscal quarter that had ended before that day; by its calendar name where it is a calendar quarter."""
    running = periods.fiscal_quarter_of(on, starts_month=starts_month)
    last = periods.fiscal_quarter_of(running.first_day - DAY, starts_month=starts_month)
    calendar = periods.calendar_quarter(periods.quarter_of(last.last_day))
    return calendar if calendar.first_day == last.first_day else last


def _of_grants(on: date) -> Iterator[_Wanted]:
    """Those that end soon, and those that have ended, until a day long after their report was due."""
    for one in GrantPeriod.objects.ended_by(on + SEEN_AHEAD).due_from(on - SEEN_AFTER).with_areas():
        served = list(one.source.may_serve.all())
        alone = served[0] if len(served) == 1 and not one.source.may_serve_districts.all() else None
        period = periods.of_days(one.first_day_on, one.last_day_on)
        yield _Wanted(of=str(one.source), jurisdiction=alone, period=period, due_on=one.report_due_on)
