"""How long households that were heard from went on: counted from the records by months, never row by row."""

from datetime import date
from typing import Any

from django.db import connection

from diversion.curves import Held
from diversion.persistence import Following
from outreach.bins.models import Stay
from outreach.filings.gathering import Scope

# A stay that ended so is a household that went on no more; who moved may compost on elsewhere.
GAVE_UP = (Stay.Ended.RETURNED, Stay.Ended.REMOVED, Stay.Ended.STOPPED)
ORDINALS = {
    # Julian days begin at noon, ordinals with the first day of the year 1.
    "sqlite": "CAST(julianday({day}) - 1721424.5 AS INTEGER)",
    "postgresql": "(({day}) - DATE '0001-01-01' + 1)",
}

# Whole months to the nearest; a month is 487 / 16 days.
_FOLLOWED = """
WITH held AS (
  SELECT counted_under_id AS h, MIN(from_day) AS first_day, MAX(until_day) AS last_end,
    MAX(CASE WHEN ended_because IN ({gave_up}) THEN until_day END) AS gave_up
  FROM bins_stay WHERE from_day < %(cut)s GROUP BY counted_under_id
), heard AS (
  SELECT counted_under_id AS h, MAX(CASE WHEN composting <> 'stopped' THEN in_force_from_day END) AS last_yes
  FROM followup_answer WHERE in_force_from_day > 0 AND in_force_from_day < %(cut)s
  GROUP BY counted_under_id
), last_known AS (
  SELECT s.first_day AS first_day, x.in_force_from_day AS answered, {stopped_day} AS stopped_day,
    CASE WHEN x.composting = 'stopped' THEN 1 ELSE 0 END AS says_stopped,
    CASE WHEN y.last_yes > s.first_day THEN y.last_yes ELSE s.first_day END AS last_yes,
    CASE WHEN s.gave_up = s.last_end AND s.gave_up < %(cut)s THEN s.gave_up END AS gave_up
  FROM held s
  JOIN households_household hh ON hh.id = s.h
  JOIN heard y ON y.h = s.h
  JOIN followup_answer x ON x.counted_under_id = s.h
    AND x.in_force_from_day < %(cut)s AND x.in_force_until_day >= %(cut)s
  WHERE x.in_force_from_day > s.first_day AND hh.jurisdiction_id IS NOT NULL {scope}
), followed AS (
  SELECT first_day,
    CASE WHEN says_stopped = 0 THEN CASE WHEN gave_up > answered THEN gave_up ELSE answered END
         WHEN stopped_day > first_day AND stopped_day <= answered THEN stopped_day
         WHEN gave_up >= last_yes AND gave_up <= answered THEN gave_up
         ELSE (last_yes + answered) / 2 END AS day,
    CASE WHEN says_stopped = 1 OR gave_up > answered THEN 1 ELSE 0 END AS quit,
    CASE WHEN says_stopped = 0 OR (stopped_day > first_day AND stopped_day <= answered)
           OR (gave_up >= last_yes AND gave_up <= answered) THEN 0 ELSE 1 END AS undated
  FROM last_known
)
SELECT ((day - first_day) * 32 + 487) / 974 AS months, SUM(quit), COUNT(*) - SUM(quit), SUM(undated)
FROM followed GROUP BY 1 ORDER BY 1"""

_IN_USE = """
SELECT (%(b)s - first_day) * 16 / 487 AS months, COUNT(*) FROM (
  SELECT counted_under_id AS h, MIN(from_day) AS first_day FROM bins_stay
  WHERE from_day < %(b)s GROUP BY counted_under_id HAVING MAX(until_day) >= %(b)s
) in_use JOIN households_household hh ON hh.id = in_use.h
WHERE hh.jurisdiction_id IS NOT NULL {scope} GROUP BY 1 ORDER BY 1"""


def gather_following(*, scope: Scope, after: date, cut_off: date) -> Following:
    """Households that answered at least once by the cut-off, and those with a bin on the day before `after`."""
    pieces = {
        "gave_up": ", ".join(f"'{one}'" for one in GAVE_UP),
        "stopped_day": ORDINALS[connection.vendor].format(day="x.stopped_on"),
        "scope": "AND hh.jurisdiction_id = %(jurisdiction)s" if scope.is_one else "",
    }
    cut = {"cut": cut_off.toordinal() + 1, **scope.parameters}
    followed = _rows(_FOLLOWED.format(**pieces), cut)
    in_use = _rows(_IN_USE.format(**pieces), {"b": after.toordinal(), **scope.parameters})
    return Following(
        held=tuple(Held(months=months, quit=quit, still=still) for months, quit, still, _ in followed),
        stopped_undated=sum(undated for *_, undated in followed),
        in_use=tuple((months, households) for months, households in in_use),
    )


def _rows(query: str, values: dict[str, Any]) -> list[tuple[int, ...]]:
    with connection.cursor() as cursor:
        cursor.execute(query, values)
        return [tuple(map(int, row)) for row in cursor.fetchall()]
