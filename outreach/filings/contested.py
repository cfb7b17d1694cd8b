"""What two of the records say differently, so that a filing could claim it twice or too high.

Households counted as new to composting of whom another record says that they composted before, and household-weeks
of which bins of two funding sources could both tell.
"""

from datetime import date

from django.db import connection
from django.db.models import Exists, OuterRef, QuerySet

from diversion.conversions import DAYS_PER_WEEK
from outreach.bins.models import Handout, Stay
from outreach.filings.following import ORDINALS
from outreach.filings.gather_sql import DIALECTS, LAG_DAYS
from outreach.filings.gathering import Scope
from outreach.households.models import Household
from outreach.workshops.models import Booking, Registration

NEW, PRIOR = Household.Composting.NEW, Household.Composting.PRIOR

# From the day on which bins of two sources had come to a household, each of its days with a bin has two payers.
_PAID_TWICE = """
WITH paid AS (
  SELECT ho.counted_under_id AS h, o.funding_source_id AS source, MIN(ho.handed_on) AS first_on
  FROM bins_handout ho JOIN bins_binorder o ON o.id = ho.order_id
  WHERE ho.voided_at IS NULL AND o.funding_source_id IS NOT NULL
    AND (ho.returned_on IS NULL OR ho.returned_on > %(first_on)s)
  GROUP BY ho.counted_under_id, o.funding_source_id
), ranked AS (
  SELECT h, {day} AS from_day, ROW_NUMBER() OVER (PARTITION BY h ORDER BY first_on, source) AS place FROM paid
), shared AS (
  SELECT {least}(s.until_day, %(b)s) - {greatest}(s.from_day + {lag}, r.from_day + {lag}, %(a)s) AS days
  FROM ranked r JOIN bins_stay s ON s.counted_under_id = r.h JOIN households_household hh ON hh.id = r.h
  WHERE r.place = 2 AND hh.jurisdiction_id IS NOT NULL {scope}
)
SELECT COALESCE(SUM(days), 0) FROM shared WHERE days > 0"""


def weeks_paid_twice(first_day: date, last_day: date, *, scope: Scope) -> float:
    """Household-weeks of these days, both included, in homes that hold bins which two funding sources paid for."""
    query = _PAID_TWICE.format(
        **DIALECTS[connection.vendor],
        day=ORDINALS[connection.vendor].format(day="first_on"),
        lag=LAG_DAYS,
        scope="AND hh.jurisdiction_id = %(jurisdiction)s" if scope.is_one else "",
    )
    values: dict[str, str | int] = {
        "first_on": first_day.isoformat(),
        "a": first_day.toordinal(),
        "b": last_day.toordinal() + 1,
        **scope.parameters,
    }
    with connection.cursor() as cursor:
        cursor.execute(query, values)
        (days,) = cursor.fetchone()
    return int(days) / DAYS_PER_WEEK


def new_yet_composted_before(first_day: date, last_day: date, *, scope: Scope) -> int:
    """Households new to composting by their record, with a bin in use, that another record says composted before.

    The other is a record merged into theirs, or a sign-up made before their first bin.
    """
    theirs = Stay.objects.filter(counted_under=OuterRef("pk"))
    in_use = theirs.filter(
        from_day__lt=last_day.toordinal() + 1 - LAG_DAYS, until_day__gt=first_day.toordinal()
    )
    households = Household.objects.roots().filter(Exists(in_use), composting_before=NEW)
    if scope.jurisdiction is not None:
        households = households.in_jurisdiction(scope.jurisdiction)
    merged = Household.objects.filter(merged_into=OuterRef("pk"), composting_before=PRIOR)
    said_otherwise = Exists(merged) | Exists(_came_as_prior())
    return households.filter(said_otherwise, jurisdiction__isnull=False).count()


def _came_as_prior() -> "QuerySet[Booking]":
    """Sign-ups of a household for its first bin, by somebody who came: later on they may mean our bin."""
    earlier_bin = Handout.objects.standing().filter(
        counted_under=OuterRef("counted_under"), handed_on__lt=OuterRef("workshop__held_on")
    )
    return Booking.objects.filter(
        ~Exists(earlier_bin),
        counted_under=OuterRef("pk"),
        composting_before=PRIOR,
        registrations__state=Registration.State.ATTENDED,
    )
