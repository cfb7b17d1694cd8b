"""Thousands of rows of one table written by one prepared statement.

`bulk_create` builds its SQL anew for every few dozen rows where the database takes few parameters; this
prepares each column once. Like it, it sends no signals: use it only for rows that carry their own
provenance.
"""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from django.db import connection
from django.db.models import Field, Model

Row = Mapping[str, Any]


def insert(model: type[Model], rows: Sequence[Row]) -> None:
    """Write rows, each by attribute name (`household_id`, not `household`); what is left out has its default."""
    if not rows:
        return
    fields = [f for f in model._meta.concrete_fields if not f.primary_key and not f.generated]
    quote = connection.ops.quote_name
    names = ", ".join(quote(field.column) for field in fields)
    holes = ", ".join(["%s"] * len(fields))
    columns = [_prepared(field, rows) for field in fields]
    with connection.cursor() as cursor:
        statement = f"INSERT INTO {quote(model._meta.db_table)} ({names}) VALUES ({holes})"  # noqa: S608
        cursor.executemany(statement, list(zip(*columns, strict=True)))


def update(model: type[Model], rows: Sequence[Row], names: Sequence[str]) -> None:
    """Write these attributes of rows that have their `id`."""
    if not rows:
        return
    key = model._meta.pk
    fields = [field for field in model._meta.concrete_fields if field.attname in names]
    quote = connection.ops.quote_name
    sets = ", ".join(f"{quote(field.column)} = %s" for field in fields)
    columns = [_prepared(field, rows) for field in (*fields, key)]
    with connection.cursor() as cursor:
        statement = f"UPDATE {quote(model._meta.db_table)} SET {sets} WHERE {quote(key.column)} = %s"  # noqa: S608
        cursor.executemany(statement, list(zip(*columns, strict=True)))


def _prepared(field: "Field[Any, Any]", rows: Sequence[Row]) -> Iterable[Any]:
    """One column as the database takes it; a value that comes again is prepared once."""
    name = field.attname
    prepared: dict[Any, Any] = {}
    column = []
    for row in rows:
        value = row[name] if name in row else field.get_default()
        if value not in prepared:
            prepared[value] = field.get_db_prep_save(value, connection)
        column.append(prepared[value])
    return column
