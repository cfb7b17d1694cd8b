"""The periods that a form offers: quarters and years that have ended, on both clocks, and grant periods."""

from collections.abc import Iterator
from datetime import date

from django.utils.formats import date_format
from django.utils.translation import gettext as _

from outreach.filings import periods
from outreach.funding.models import GrantPeriod

OTHER_DAYS = "days"
QUARTERS_OFFERED, YEARS_OFFERED = 12, 3

Choice = tuple[str, str]


def choices(on: date) -> list[tuple[str, list[Choice]]]:
    """In groups. A fiscal code is read with the fiscal year of the jurisdiction that is chosen beside it."""
    groups = (
        (_("Calendar quarters"), list(_quarters(on))),
        (_("Calendar years"), list(_years(on))),
        (_("Fiscal quarters"), list(_fiscal_quarters(on))),
        (_("Fiscal years"), list(_fiscal_years(on))),
        (_("Periods of grants"), list(_of_grants(on))),
        (_("Other days"), [(OTHER_DAYS, _("The two days below"))]),
    )
    return [(name, offered) for name, offered in groups if offered]


def _quarters(on: date) -> Iterator[Choice]:
    latest = periods.last_full_quarter(on)
    for back in range(QUARTERS_OFFERED):
        code = str(periods.shifted(latest, -back))
        yield code, code


def _years(on: date) -> Iterator[Choice]:
    for back in range(1, YEARS_OFFERED + 1):
        code = str(on.year - back)
        yield code, code


def _fiscal_quarters(on: date) -> Iterator[Choice]:
    # Which of them have ended depends on the jurisdiction; submitting refuses one that has not.
    for year in range(on.year + 1, on.year - YEARS_OFFERED, -1):
        for number in range(periods.QUARTERS_PER_YEAR, 0, -1):
            words = _("quarter %(number)d of fiscal year %(year)d") % {"number": number, "year": year}
            yield f"FY{year}-Q{number}", words


def _fiscal_years(on: date) -> Iterator[Choice]:
    for year in range(on.year, on.year - YEARS_OFFERED, -1):
        yield f"FY{year}", _("fiscal year %(year)d") % {"year": year}


def _of_grants(on: date) -> Iterator[Choice]:
    for one in GrantPeriod.objects.ended_by(on).with_source():
        days = {"first": date_format(one.first_day_on), "last": date_format(one.last_day_on)}
        words = _("%(first)s to %(last)s") % days
        yield periods.interval(one.first_day_on, one.last_day_on), f"{one.source}: {words}"
