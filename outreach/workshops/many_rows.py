"""Thousands of rows of one table in one statement, for paperwork that must not keep others waiting.

`bulk_create` compiles a statement for every 999 values and asks each field twice about each value, which
for a wide table is most of the time a file takes. Here one prepared statement is run for all rows. Like
`bulk_create` it sends no signals and checks no more than the database does.
"""

from collections.abc import Iterable, Sequence
from operator import attrgetter
from typing import Any

from django.db import connection, models

# Values that every database takes as Python has them; anything else is turned by its field.
PLAIN = (
    models.AutoField,
    models.BooleanField,
    models.CharField,
    models.ForeignKey,
    models.IntegerField,
    models.TextField,
)


def insert(rows: Sequence[models.Model], *, among: "models.QuerySet[models.Model]") -> None:
    """Insert unsaved rows of one model and give each its number.

    `among` are rows that nobody else can be adding to now, as their household or workshop is locked.
    """
    if not rows:
        return
    model = type(rows[0])
    fields = [f for f in model._meta.concrete_fields if not f.primary_key and not f.generated]
    before = model._default_manager.aggregate(last=models.Max("pk"))["last"] or 0
    columns = ", ".join(_quoted(field.column) for field in fields)
    marks = ", ".join(["%s"] * len(fields))
    # Names of tables and columns are our own; every value is a parameter.
    statement = f"INSERT INTO {_table(model)} ({columns}) VALUES ({marks})"  # noqa: S608
    _run(statement, _values(rows, fields))
    numbers = among.filter(pk__gt=before).order_by("pk").values_list("pk", flat=True)
    for row, number in zip(rows, numbers, strict=True):
        row.pk, row._state.adding, row._state.db = number, False, connection.alias


def update(rows: Sequence[models.Model], names: Iterable[str]) -> None:
    """Write these fields of rows of one model."""
    if not rows:
        return
    meta = type(rows[0])._meta
    key = next(field for field in meta.concrete_fields if field.primary_key)
    by_name = {field.name: field for field in meta.concrete_fields}
    fields = [by_name[name] for name in names]
    columns = ", ".join(f"{_quoted(field.column)} = %s" for field in fields)
    where = f"{_quoted(key.column)} = %s"
    statement = f"UPDATE {_table(type(rows[0]))} SET {columns} WHERE {where}"  # noqa: S608
    _run(statement, _values(rows, [*fields, key]))


def _values(
    rows: Sequence[models.Model], fields: "Sequence[models.Field[Any, Any]]"
) -> list[tuple[Any, ...]]:
    """One tuple a row; columns are turned one by one, so that plain ones cost nothing."""
    columns: list[Iterable[Any]] = []
    for field in fields:
        values = map(attrgetter(field.attname), rows)
        is_plain = isinstance(field, PLAIN)
        columns.append(values if is_plain else [field.get_db_prep_save(v, connection) for v in values])
    return list(zip(*columns, strict=True))


def _run(sql: str, values: list[tuple[Any, ...]]) -> None:
    with connection.cursor() as cursor:
        cursor.executemany(sql, values)


def _table(model: type[models.Model]) -> str:
    return _quoted(model._meta.db_table)


def _quoted(name: str) -> str:
    return connection.ops.quote_name(name)
