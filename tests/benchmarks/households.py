"""A million invented households with stays and answers, written by the database itself."""

from django.db import connection

from tests.factories.places import make_district, make_jurisdiction

SERIES = {
    "sqlite": "WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < {count})",
    "postgresql": "WITH n(i) AS (SELECT generate_series(1::bigint, {count}))",
}
# 2021-01-01 and 2024-06-01 as ordinals.
FIRST_DAY, FIRST_ANSWER_DAY = 737791, 739038


def a_million_households(households: int = 1_000_000, answers: int = 500_000) -> None:
    places = [make_jurisdiction() for _ in range(3)]
    districts = [make_district(jurisdiction=places[0]) for _ in range(4)]
    base, district = places[0].pk, districts[0].pk
    with connection.cursor() as cursor:
        cursor.execute(_households(households, base, district))
        cursor.execute("SELECT MIN(id) FROM households_household")
        first = cursor.fetchone()[0]
        cursor.execute(_stays(households, first))
        cursor.execute(_answers(answers, first))
        cursor.execute("ANALYZE")


def _series(count: int) -> str:
    return SERIES[connection.vendor].format(count=count)


def _households(count: int, base: int, district: int) -> str:
    return f"""INSERT INTO households_household (street, unit, city_name, zip_code, address_key, street_key, unit_key,
      jurisdiction_id, district_id, language, composting_before, began_on, bin_after_move, note)
    {_series(count)}
    SELECT i || ' Alder Street', '', 'Town', '00001', i || ' ALDER ST 00001', i || ' ALDER ST', '', {base} + i % 3,
      CASE WHEN i % 3 = 0 THEN {district} + i % 4 END, 'en',
      CASE i % 5 WHEN 0 THEN 'prior' WHEN 1 THEN 'not_said' ELSE 'new' END, '2021-01-01', '', ''
    FROM n"""


def _stays(count: int, first: int) -> str:
    return f"""INSERT INTO bins_stay (household_id, counted_under_id, family, from_day, until_day, ended_because)
    {_series(count)}
    SELECT {first} - 1 + i, {first} - 1 + i, CASE i % 4 WHEN 0 THEN 'rigid' WHEN 1 THEN 'tumbler' ELSE 'mesh' END,
      {FIRST_DAY} + (i * 7919) % 1600,
      CASE WHEN i % 10 = 0 THEN {FIRST_DAY} + 1000 + (i * 7919) % 1600 ELSE 9999999 END,
      CASE WHEN i % 10 = 0 THEN 'returned' ELSE '' END
    FROM n"""


def _answers(count: int, first: int) -> str:
    day = "date('2024-06-01', ((i * 104729) % 400) || ' days')"
    if connection.vendor == "postgresql":
        day = "DATE '2024-06-01' + ((i * 104729::bigint) % 400)::int"
    required = _required_columns()
    return f"""INSERT INTO followup_answer (household_id, counted_under_id, channel, answered_on, received_on,
      entered_at, composting, food_ml_per_week, yard_ml_per_week, food_trash_percent, food_composted_percent,
      yard_trash_percent, yard_composted_percent, in_force_from_day, in_force_until_day, is_current,
      {", ".join(required)})
    {_series(count)}
    SELECT {first} - 1 + 2 * i, {first} - 1 + 2 * i, 'link', {day}, {day}, '2025-01-01 00:00:00+00',
      CASE WHEN i % 4 = 0 THEN 'stopped' ELSE 'yes' END,
      CASE WHEN i % 4 = 0 THEN 0 ELSE (i * 31) % 9000 END, CASE WHEN i % 4 = 0 THEN 0 ELSE (i * 17) % 90000 END,
      {_percents()}, {_percents()},
      {FIRST_ANSWER_DAY} + (i * 104729) % 400, 9999999, true, {", ".join(required.values())}
    FROM n"""


def _percents() -> str:
    return "CASE i % 3 WHEN 0 THEN 100 WHEN 1 THEN 0 END, CASE i % 3 WHEN 0 THEN 0 WHEN 1 THEN 100 END"


def _required_columns() -> dict[str, str]:
    """Columns that must be filled but do not matter here, with something for each."""
    from outreach.followup.models import Answer

    given = {"channel", "composting"}
    found = {}
    for field in Answer._meta.concrete_fields:
        if field.null or field.primary_key or field.name in given or field.generated:
            continue
        if field.get_internal_type() in {"CharField", "TextField"}:
            found[field.column] = "''"
        elif field.column == "wants_help":
            found[field.column] = "false"
    return found
