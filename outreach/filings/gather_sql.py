"""The one query behind every figure: households with a bin in a quarter, beside their answer in force.

Days are `date.toordinal()` integers, amounts whole decilitres or decagrams a week, so every sum is an exact
integer and the same on SQLite and PostgreSQL. What differs between the two is named in `DIALECTS`.

Month lengths are 365.25 / 12 days. To stay in integers, spans are doubled days: half a year is 365.25 doubled
days, a month 60.875 = 487 / 8.
"""

from django.db import connection

from outreach.bins.models import BinModel

# A bin counts from two weeks after it was handed out.
LAG_DAYS = 14
FAMILIES = tuple(BinModel.Family.values)

DIALECTS = {
    "sqlite": {
        "least": "min",
        "greatest": "max",
        # The yard question is about the month before the answer; its middle is half a month back.
        "asked_month": "CAST(strftime('%%m', x.answered_on, '-15 days') AS INTEGER)",
    },
    "postgresql": {
        "least": "LEAST",
        "greatest": "GREATEST",
        "asked_month": "CAST(EXTRACT(MONTH FROM x.answered_on - 15) AS INTEGER)",
    },
}

_EXPOSED = """
WITH spans AS (
  SELECT counted_under_id AS h, from_day,
    CASE WHEN until_day > %(a)s AND until_day > from_day + {lag}
      THEN {greatest}(from_day + {lag}, %(a)s) END AS start_day,
    CASE WHEN until_day > %(a)s AND until_day > from_day + {lag}
      THEN {least}(until_day, %(b)s) END AS end_day,
    {family_code} AS family_code
  FROM bins_stay WHERE from_day + {lag} < %(b)s
), exposed AS (
  SELECT h, MIN(from_day) AS first_day, SUM(end_day - start_day) AS days,
    MIN(start_day) + MAX(end_day) AS middle_doubled,
    MIN(CASE WHEN start_day IS NOT NULL THEN from_day * 100 + family_code END) AS family_of_first
  FROM spans GROUP BY h HAVING SUM(end_day - start_day) > 0
)"""

_PER_HOUSEHOLD = """
, household_rows AS (
  SELECT e.days AS days, hh.jurisdiction_id AS jurisdiction, COALESCE(hh.district_id, 0) AS district,
    e.family_of_first %% 100 AS family_code,
    CASE WHEN e.middle_doubled - 2 * e.first_day <= 365 THEN 0
         WHEN e.middle_doubled - 2 * e.first_day <= 730 THEN 1
         WHEN e.middle_doubled - 2 * e.first_day <= 1460 THEN 2 ELSE 3 END AS band,
    CASE WHEN x.id IS NULL AND e.first_day + %(first_wave_days)s >= %(cut)s THEN 1 ELSE 0 END AS unasked,
    CASE WHEN x.id IS NULL THEN 0 ELSE 1 END AS answered,
    hh.composting_before AS prior,
    CASE WHEN e.middle_doubled > 2 * x.in_force_from_day
      THEN ((e.middle_doubled - 2 * x.in_force_from_day) * 16 + 487) / 974 ELSE 0 END AS gap_months,
    CASE WHEN x.id IS NULL THEN 0 ELSE ({asked_month} + 2) / 3 END AS quarter_asked,
    CASE WHEN x.composting = 'stopped' THEN 0 ELSE 1 END AS still,
    CASE WHEN x.food_g_per_week IS NULL THEN 0 ELSE 1 END AS food_by_weight,
    CASE WHEN x.yard_g_per_week IS NULL THEN 0 ELSE 1 END AS yard_by_weight,
    CASE WHEN x.composting = 'stopped' OR x.food_ml_per_week IS NOT NULL OR x.food_g_per_week IS NOT NULL
      THEN 1 ELSE 0 END AS food_given,
    CASE WHEN x.composting = 'stopped' OR x.yard_ml_per_week IS NOT NULL OR x.yard_g_per_week IS NOT NULL
      THEN 1 ELSE 0 END AS yard_given,
    COALESCE(x.food_trash_percent, -1) AS food_trash,
    COALESCE(x.food_composted_percent, -1) AS food_composted,
    COALESCE(x.yard_trash_percent, -1) AS yard_trash,
    COALESCE(x.yard_composted_percent, -1) AS yard_composted,
    CASE WHEN x.composting = 'stopped' THEN 0
      ELSE COALESCE((x.food_g_per_week + 5) / 10, (x.food_ml_per_week + 50) / 100, 0) END AS food,
    CASE WHEN x.composting = 'stopped' THEN 0
      ELSE COALESCE((x.yard_g_per_week + 5) / 10, (x.yard_ml_per_week + 50) / 100, 0) END AS yard
  FROM exposed e
  JOIN households_household hh ON hh.id = e.h
  LEFT JOIN followup_answer x ON x.counted_under_id = e.h
    AND x.in_force_from_day < %(cut)s AND x.in_force_until_day >= %(cut)s
    AND x.in_force_from_day >= %(oldest)s
  WHERE hh.jurisdiction_id IS NOT NULL {scope}
)"""

KEY_COLUMNS = (
    "jurisdiction",
    "district",
    "family_code",
    "band",
    "prior",
    "answered",
    "gap_months",
    "quarter_asked",
    "still",
    "food_by_weight",
    "yard_by_weight",
    "food_given",
    "yard_given",
    "food_trash",
    "food_composted",
    "yard_trash",
    "yard_composted",
)
SUM_COLUMNS = {
    "households": "COUNT(*)",
    "days": "SUM(days)",
    "unasked_households": "SUM(unasked)",
    "unasked_days": "SUM(unasked * days)",
    "days_sq": "SUM(days * days)",
    "days_food": "SUM(days * food)",
    "days_yard": "SUM(days * yard)",
    "days_sq_food": "SUM(days * days * food)",
    "days_sq_yard": "SUM(days * days * yard)",
    "days_sq_food_sq": "SUM(days * days * food * food)",
    "days_sq_yard_sq": "SUM(days * days * yard * yard)",
    "days_sq_food_yard": "SUM(days * days * food * yard)",
}


def _dialect() -> dict[str, str]:
    codes = " ".join(f"WHEN '{family}' THEN {code}" for code, family in enumerate(FAMILIES))
    return {
        **DIALECTS[connection.vendor],
        "lag": str(LAG_DAYS),
        "family_code": f"CASE family {codes} END",
    }


def _household_rows(*, scoped: bool) -> str:
    scope = "AND hh.jurisdiction_id = %(jurisdiction)s" if scoped else ""
    return (_EXPOSED + _PER_HOUSEHOLD).format(**_dialect(), scope=scope)


def cells_query(*, scoped: bool) -> str:
    """Grouped sums: one row a cell. `scoped` limits it to %(jurisdiction)s."""
    keys = ", ".join(KEY_COLUMNS)
    sums = ", ".join(f"{formula} AS {name}" for name, formula in SUM_COLUMNS.items())
    return f"""{_household_rows(scoped=scoped)}
    SELECT {keys}, {sums} FROM household_rows GROUP BY {keys} ORDER BY {keys}"""  # noqa: S608


def lines_insert(*, scoped: bool) -> str:
    """The same rows, one a household, kept behind a filing under a random number; nothing personal."""
    cell = " || '|' || ".join(f"CAST({name} AS TEXT)" for name in KEY_COLUMNS)
    return f"""
    INSERT INTO filings_filingline (filing_id, number, cell, days, unasked, food, yard, quarter)
    {_household_rows(scoped=scoped)}
    SELECT %(filing)s, ROW_NUMBER() OVER (ORDER BY RANDOM()), {cell}, days, unasked, food, yard, %(quarter)s
    FROM household_rows"""  # noqa: S608


def cells_of_lines_query() -> str:
    """The sums of a filing's lines, by cell."""
    sums = ", ".join(SUM_COLUMNS.values())
    return f"""
    SELECT cell, {sums} FROM (
      SELECT cell, CAST(days AS BIGINT) AS days, unasked, food, yard FROM filings_filingline
      WHERE filing_id = %(filing)s AND quarter = %(quarter)s
    ) lines GROUP BY cell"""  # noqa: S608


def quits_query(*, scoped: bool) -> str:
    """How many still composted, of those asked so many whole months after their first handout."""
    scope = "AND hh.jurisdiction_id = %(jurisdiction)s" if scoped else ""
    return f"""
    SELECT months, SUM(still), COUNT(*) - SUM(still) FROM (
      SELECT (x.in_force_from_day - s.first_day) * 16 / 487 AS months,
        CASE WHEN x.composting = 'stopped' THEN 0 ELSE 1 END AS still
      FROM (SELECT counted_under_id AS h, MIN(from_day) AS first_day FROM bins_stay GROUP BY 1) s
      JOIN households_household hh ON hh.id = s.h
      JOIN followup_answer x ON x.counted_under_id = s.h
      WHERE x.in_force_from_day > s.first_day AND x.in_force_from_day < %(cut)s
        AND hh.jurisdiction_id IS NOT NULL {scope}
    ) asked GROUP BY months ORDER BY months"""  # noqa: S608


def first_exposed_day_query(*, scoped: bool) -> str:
    """The first day on which any household of the scope had a bin in use."""
    scope = "AND hh.jurisdiction_id = %(jurisdiction)s" if scoped else ""
    return f"""
    SELECT MIN(s.from_day) + {LAG_DAYS} FROM bins_stay s
    JOIN households_household hh ON hh.id = s.counted_under_id
    WHERE hh.jurisdiction_id IS NOT NULL {scope}"""  # noqa: S608
