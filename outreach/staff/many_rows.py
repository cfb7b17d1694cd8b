"""Thousands of rows of one table in one statement, for paperwork that must not keep others waiting.

`bulk_create` compiles a statement for every few dozen rows where the database takes few parameters, and
asks each field twice about each value, which for a wide table is most of the time a file takes. Here one
prepared statement is run for all rows. Like `bulk_create` it sends no signals and checks no more than the
database does: use it only for rows that carry their own provenance.

A row is a mapping by attribute name (`household_id`, not `household`), as `vars(record)` is.
"""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any, TypeAlias

from django.db import connection, models

Row = Mapping[str, Any]
AnyField: TypeAlias = "models.Field[Any, Any]"

# Values that every database takes as Python has them; anything else is turned by its field.
PLAIN = (
    models.AutoField,
    models.BooleanField,
    models.CharField,
    models.ForeignKey,
    models.IntegerField,
    models.TextField,
)


def insert(model: type[models.Model], rows: Sequence[Row]) -> None:
    """Write rows; what is left out has its default."""
    if not rows:
        return
    fields = [f for f in model._meta.concrete_fields if not f.primary_key and not f.generated]
    names = ", ".join(_quoted(field.column) for field in fields)
    holes = ", ".join(["%s"] * len(fields))
    # Names of tables and columns are our own; every value is a parameter.
    statement = f"INSERT INTO {_quoted(model._meta.db_table)} ({names}) VALUES ({holes})"  # noqa: S608
    columns = ([row[f.attname] if f.attname in row else f.get_default() for row in rows] for f in fields)
    _run(statement, fields, columns)


def update(model: type[models.Model], rows: Sequence[Row], names: Iterable[str]) -> None:
    """Write these fields, by name or attribute name, of rows that have their number."""
    if not rows:
        return
    named = {name: field for field in model._meta.concrete_fields for name in (field.name, field.attname)}
    fields = [*(named[name] for name in names), named[model._meta.pk.attname]]
    *changed, key = (f"{_quoted(field.column)} = %s" for field in fields)
    statement = f"UPDATE {_quoted(model._meta.db_table)} SET {', '.join(changed)} WHERE {key}"  # noqa: S608
    _run(statement, fields, ([row[field.attname] for row in rows] for field in fields))


def insert_numbered(
    model: type[models.Model], rows: Sequence[Row], *, among: "models.QuerySet[Any]"
) -> list[int]:
    """Write rows and give the number of each.

    `among` are rows that nobody else can be adding to now, as their household, workshop or file is locked.
    """
    before = model._default_manager.aggregate(last=models.Max("pk"))["last"] or 0
    insert(model, rows)
    return list(among.filter(pk__gt=before).order_by("pk").values_list("pk", flat=True))


def insert_records(records: Sequence[models.Model], *, among: "models.QuerySet[Any]") -> None:
    """Insert unsaved records of one model and give each its number; `among` as above."""
    if not records:
        return
    numbers = insert_numbered(type(records[0]), [vars(record) for record in records], among=among)
    for record, number in zip(records, numbers, strict=True):
        record.pk, record._state.adding, record._state.db = number, False, connection.alias


def update_records(records: Sequence[models.Model], names: Iterable[str]) -> None:
    """Write these fields of records of one model."""
    if records:
        update(type(records[0]), [vars(record) for record in records], names)


def _run(statement: str, fields: Sequence[AnyField], columns: Iterable[list[Any]]) -> None:
    prepared = [_prepared(field, column) for field, column in zip(fields, columns, strict=True)]
    with connection.cursor() as cursor:
        cursor.executemany(statement, list(zip(*prepared, strict=True)))


def _prepared(field: AnyField, column: list[Any]) -> list[Any]:
    """One column as the database takes it; a day or an instant that comes again is turned once."""
    if isinstance(field, PLAIN):
        return column
    if isinstance(field, models.JSONField):
        return [field.get_db_prep_save(value, connection) for value in column]
    turned = {value: field.get_db_prep_save(value, connection) for value in set(column)}
    return [turned[value] for value in column]


def _quoted(name: str) -> str:
    return connection.ops.quote_name(name)
