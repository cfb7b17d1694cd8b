"""The one query behind every figure: households with a bin in a slice of a quarter, beside their answer in force.

Days are `date.toordinal()` integers, amounts whole decilitres or decagrams a week, so every sum is an exact
integer and the same on SQLite and PostgreSQL. What differs between the two is named in `DIALECTS`. A cell's
key travels as two packed integers: grouping by nineteen columns takes twice as long.

Month lengths are 365.25 / 12 days. To stay in integers, spans are doubled days: half a year is 365.25 doubled
days, a month 60.875 = 487 / 8.
"""

from collections.abc import Iterator
from typing import Any

from django.conf import settings
from django.db import connection

from outreach.bins.models import BinModel
from outreach.followup import packing
from outreach.households.models import Household

# A bin counts from two weeks after it was handed out.
LAG_DAYS = 14
FAMILIES = tuple(BinModel.Family.values)
PRIORS = tuple(Household.Composting.values)
LANGUAGES = ("", *dict(settings.LANGUAGES))

DIALECTS = {
    "sqlite": {"least": "min", "greatest": "max"},
    "postgresql": {"least": "LEAST", "greatest": "GREATEST"},
}

_EXPOSED = """
WITH exposed AS (
  SELECT counted_under_id AS h, MIN(from_day) AS first_day,
    SUM(CASE WHEN {in_period} THEN {end_day} - {start_day} END) AS days,
    MIN(CASE WHEN {in_period} THEN {start_day} END)
      + MAX(CASE WHEN {in_period} THEN {end_day} END) AS middle_doubled,
    MIN(CASE WHEN {in_period} THEN {first_stay} END) AS first_stay
  FROM bins_stay WHERE from_day + {lag} < %(b)s
  GROUP BY counted_under_id HAVING SUM(CASE WHEN {in_period} THEN 1 END) > 0
)"""

# What is known of one household, beside its answer in force; `said` is 0 where there is none.
_HOUSEHOLD_ROWS = """
  SELECT e.h AS household, e.days AS days, hh.jurisdiction_id AS jurisdiction, COALESCE(hh.district_id, 0) AS district,
    {prior_code} AS prior_code,
    {language_code} AS language_code,
    e.first_stay / {one_family} %% {families} AS family_code,
    e.first_stay %% {one_family} AS funding_source,
    CASE WHEN e.middle_doubled - 2 * e.first_day <= 365 THEN 0
         WHEN e.middle_doubled - 2 * e.first_day <= 730 THEN 1
         WHEN e.middle_doubled - 2 * e.first_day <= 1460 THEN 2 ELSE 3 END AS band,
    CASE WHEN e.middle_doubled > 2 * x.in_force_from_day
      THEN ((e.middle_doubled - 2 * x.in_force_from_day) * 16 + 487) / 974 ELSE 0 END AS gap_months,
    COALESCE(x.summed_as, 0) AS said,
    CASE WHEN x.summed_as IS NULL AND e.first_day + %(first_wave_days)s >= %(cut)s
      THEN 1 ELSE 0 END AS unasked,
    COALESCE(x.summed_food, 0) AS food,
    COALESCE(x.summed_yard, 0) AS yard,
    COALESCE(x.summed_browns, 0) AS browns
  FROM exposed e
  JOIN households_household hh ON hh.id = e.h
  LEFT JOIN followup_answer x ON x.counted_under_id = e.h
    AND x.in_force_from_day < %(cut)s AND x.in_force_until_day >= %(cut)s
    AND x.in_force_from_day >= %(oldest)s
  WHERE hh.jurisdiction_id IS NOT NULL {scope}"""

# The columns of a group in one integer, above those of the answer: name and bits, from the lowest.
HOUSEHOLD_LAYOUT = (
    ("gap_months", 9),
    ("band", 2),
    ("family_code", 4),
    ("prior_code", 2),
    ("language_code", 3),
)
# Jurisdiction, district and funding source in another; more than a million of one kind are refused.
PLACE_LAYOUT = ("funding_source", "district", "jurisdiction")
PLACE_BITS = 20
MOST_OF_A_KIND = 1 << PLACE_BITS
# Families are kept with the first stay; there is room for more of them.
FAMILY_ROOM = 100

# What tells one cell from another, in the order in which a line of a filing keeps it.
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
    # Lines kept by earlier versions end before these.
    "language",
    "browns_given",
    "funding_source",
)
WORDS = ("prior", "language")
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
    "days_browns": "SUM(days * browns)",
    "days_sq_browns": "SUM(days * days * browns)",
    "days_sq_browns_sq": "SUM(days * days * browns * browns)",
}


def _coded(column: str, words: tuple[str, ...]) -> str:
    """A word of a column as its number in a list of ours."""
    cases = " ".join(f"WHEN '{word}' THEN {code}" for code, word in enumerate(words))
    return f"CASE {column} {cases} ELSE 0 END"


def _pieces() -> dict[str, str]:
    dialect = DIALECTS[connection.vendor]
    return {
        "lag": str(LAG_DAYS),
        "in_period": f"until_day > %(a)s AND until_day > from_day + {LAG_DAYS}",
        "start_day": f"{dialect['greatest']}(from_day + {LAG_DAYS}, %(a)s)",
        "end_day": f"{dialect['least']}(until_day, %(b)s)",
        # The first stay's day, family and source in one number, so that the least is that of the first.
        "first_stay": (
            f"(CAST(from_day AS BIGINT) * {FAMILY_ROOM} + {_coded('family', FAMILIES)}) * {MOST_OF_A_KIND}"
            " + COALESCE(funding_source_id, 0)"
        ),
        "one_family": str(MOST_OF_A_KIND),
        "families": str(FAMILY_ROOM),
        "prior_code": _coded("hh.composting_before", PRIORS),
        "language_code": _coded("hh.language", LANGUAGES),
    }


def _exposed() -> str:
    return _EXPOSED.format(**_pieces())


def _household_rows(*, scoped: bool) -> str:
    scope = "AND hh.jurisdiction_id = %(jurisdiction)s" if scoped else ""
    return _HOUSEHOLD_ROWS.format(**_pieces(), scope=scope)


def _places_in_a_group() -> Iterator[tuple[str, int, int]]:
    position = packing.BITS
    for name, bits in HOUSEHOLD_LAYOUT:
        yield name, position, bits
        position += bits


def cells_query(*, scoped: bool) -> str:
    """Grouped sums: one row a cell, its key packed into two integers. `scoped` limits it to %(jurisdiction)s."""
    kind = " + ".join(f"{name} * {1 << position}" for name, position, _bits in _places_in_a_group())
    place = " + ".join(f"{name} * {1 << number * PLACE_BITS}" for number, name in enumerate(PLACE_LAYOUT))
    sums = ", ".join(f"{formula} AS {name}" for name, formula in SUM_COLUMNS.items())
    return f"""{_exposed()}
    SELECT {place} AS place, said + {kind} AS kind, {sums}
    FROM ({_household_rows(scoped=scoped)}) household_rows GROUP BY 1, 2"""  # noqa: S608


def unpacked(place: int, kind: int) -> dict[str, Any]:
    """The key of a cell, column by column."""
    said = kind & (1 << packing.BITS) - 1
    known = {name: kind >> position & (1 << bits) - 1 for name, position, bits in _places_in_a_group()}
    return {
        **known,
        **packing.unpacked(said),
        **{
            name: place >> number * PLACE_BITS & MOST_OF_A_KIND - 1
            for number, name in enumerate(PLACE_LAYOUT)
        },
        "prior": PRIORS[known["prior_code"]],
        "language": LANGUAGES[known["language_code"]],
        "answered": int(said > 0),
    }


def _key_formulas() -> dict[str, str]:
    """Each column of the key, from those of a household's row."""
    said = {name: f"(said / {1 << position} %% {1 << bits})" for name, position, bits in packing.places()}
    return {
        **said,
        **{name: f"({said[name]} - 1)" for name in packing.PERCENTS},
        "prior": _worded("prior_code", PRIORS),
        "language": _worded("language_code", LANGUAGES),
        "answered": "CASE WHEN said > 0 THEN 1 ELSE 0 END",
    }


def _worded(column: str, words: tuple[str, ...]) -> str:
    cases = " ".join(f"WHEN {code} THEN '{word}'" for code, word in enumerate(words))
    return f"CASE {column} {cases} END"


def lines_insert(*, scoped: bool) -> str:
    """The same rows, one a household, kept behind a filing under a random number; nothing personal."""
    formulas = _key_formulas()
    cell = " || '|' || ".join(f"CAST({formulas.get(name, name)} AS TEXT)" for name in KEY_COLUMNS)
    return f"""
    INSERT INTO filings_filingline (filing_id, number, cell, days, unasked, food, yard, browns, quarter, span)
    {_exposed()}
    SELECT %(filing)s, ROW_NUMBER() OVER (ORDER BY RANDOM()), {cell}, days, unasked, food, yard, browns,
      %(quarter)s, %(span)s
    FROM ({_household_rows(scoped=scoped)}) household_rows"""  # noqa: S608


def key_of_line(cell: str) -> dict[str, Any]:
    """The key that a line keeps, column by column; without those that its version did not know."""
    words = dict(zip(KEY_COLUMNS, cell.split("|"), strict=False))
    return {name: word if name in WORDS else int(word) for name, word in words.items()}


def cells_of_lines_query() -> str:
    """The sums of a filing's lines, by cell, and how many of the lines keep browns: those of early versions do not."""
    sums = ", ".join(SUM_COLUMNS.values())
    return f"""
    SELECT cell, COUNT(kept), {sums} FROM (
      SELECT cell, CAST(days AS BIGINT) AS days, unasked, food, yard, browns AS kept,
        COALESCE(browns, 0) AS browns FROM filings_filingline
      WHERE filing_id = %(filing)s AND quarter = %(quarter)s AND span = %(span)s
    ) lines GROUP BY cell"""  # noqa: S608


# A large multiplier modulo a prime: numbers that follow each other land far apart, in an order that tells nothing.
SHUFFLED = "(household * 1103515245 + %(shuffle)s) %% 2147483647"


def unanswered_query(*, scoped: bool) -> str:
    """Households asked that have no answer in force, of each stratum the first %(most)s in a shuffled order."""
    return f"""{_exposed()}
    SELECT household, jurisdiction, family_code, band FROM (
      SELECT household, jurisdiction, family_code, band, {SHUFFLED} AS shuffled,
        ROW_NUMBER() OVER (PARTITION BY jurisdiction, family_code, band ORDER BY {SHUFFLED}) AS place
      FROM ({_household_rows(scoped=scoped)}) household_rows WHERE said = 0 AND unasked = 0
    ) placed WHERE place <= %(most)s ORDER BY shuffled, household"""  # noqa: S608


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
