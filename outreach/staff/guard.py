"""Tables to which rows are only added: the database itself refuses to change or remove them.

An app registers its tables in `AppConfig.ready()`:

    guard.append_only(
        "bins.StockMovement",
        sentence="A stock movement is never changed. Record another that puts it right.",
    )

After every `migrate` the triggers are made anew, since SQLite's way of altering a table drops them
silently; `manage.py check --database default` looks that they are there. On SQLite they also refuse an
INSERT whose key exists, because INSERT OR REPLACE removes a row without asking a delete trigger. So
`bulk_create(ignore_conflicts=True)` does not work on these tables: leave out what is already there.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

from django.apps import AppConfig, apps
from django.core import checks
from django.core.exceptions import ImproperlyConfigured
from django.db import DEFAULT_DB_ALIAS, connections, transaction
from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.models import Model, UniqueConstraint

_sentences: dict[str, str] = {}


def append_only(label: str, *, sentence: str) -> None:
    """Refuse to change or remove rows of this model; `sentence` is what the refusal says."""
    _sentences[label] = sentence


def guarded_models() -> list[type[Model]]:
    return [apps.get_model(label) for label in _sentences]


@dataclass(frozen=True, slots=True, kw_only=True)
class Trigger:
    """One trigger of one table: its name and the statement that makes it."""

    name: str
    table: str
    sql: str


def make_triggers(sender: AppConfig, using: str = DEFAULT_DB_ALIAS, **signal: Any) -> None:
    """Make the triggers of an app's tables anew. Connected to `post_migrate`."""
    connection = connections[using]
    tables = connection.introspection.table_names()
    for model in guarded_models():
        if model._meta.app_config is sender and model._meta.db_table in tables:
            _remake(connection, model)


@contextmanager
def lifted(using: str = DEFAULT_DB_ALIAS) -> Iterator[None]:
    """Take the triggers away for a while. Only for the flush between tests."""
    connection = connections[using]
    tables = connection.introspection.table_names()
    models = [model for model in guarded_models() if model._meta.db_table in tables]
    for model in models:
        _drop(connection, model)
    try:
        yield
    finally:
        for model in models:
            _remake(connection, model)


@contextmanager
def lifted_for(model: type[Model], using: str = DEFAULT_DB_ALIAS) -> Iterator[None]:
    """Take the triggers of one table away within a transaction. Only for forgetting people, which empties
    free text and changes no quantity; nobody else sees the table without them, and a fault puts them back.
    Filings hold nothing personal and are never opened."""
    if model not in guarded_models():
        yield
        return
    if model._meta.app_label == "filings":
        raise ImproperlyConfigured("Filings are never changed, not even to forget somebody.")
    connection = connections[using]
    with transaction.atomic(using=using):
        _drop(connection, model)
        yield
        _remake(connection, model)


def look(app_configs: Any = None, databases: Any = None, **options: Any) -> list[checks.CheckMessage]:
    """The system check: each guarded table that is there has its triggers."""
    found: list[checks.CheckMessage] = []
    for alias in databases or ():
        connection = connections[alias]
        tables = connection.introspection.table_names()
        present = present_triggers(connection)
        found += [
            checks.Error(
                f"The table {model._meta.db_table} has lost the trigger {trigger.name} that keeps its rows.",
                hint="Run `manage.py migrate`; it makes the triggers anew.",
                obj=model,
                id="staff.E001",
            )
            for model in guarded_models()
            if model._meta.db_table in tables
            for trigger in triggers_of(connection, model)
            if (trigger.table, trigger.name) not in present
        ]
    return found


def triggers_of(connection: BaseDatabaseWrapper, model: type[Model]) -> list[Trigger]:
    """The triggers that a model's table should have on this database."""
    if connection.vendor == "postgresql":
        return _for_postgresql(connection, model)
    return _for_sqlite(connection, model)


def _for_postgresql(connection: BaseDatabaseWrapper, model: type[Model]) -> list[Trigger]:
    table = model._meta.db_table
    quoted = connection.ops.quote_name(table)
    function = connection.ops.quote_name(f"{table}_kept")
    return [
        Trigger(
            name=f"{table}_{event.lower()}_refused",
            table=table,
            sql=f"CREATE TRIGGER {connection.ops.quote_name(f'{table}_{event.lower()}_refused')} "
            f"BEFORE {event} ON {quoted} FOR EACH {scope} EXECUTE FUNCTION {function}()",
        )
        for event, scope in (("UPDATE", "ROW"), ("DELETE", "ROW"), ("TRUNCATE", "STATEMENT"))
    ]


def _for_sqlite(connection: BaseDatabaseWrapper, model: type[Model]) -> list[Trigger]:
    table = model._meta.db_table
    quoted = connection.ops.quote_name(table)
    refuse = f"SELECT RAISE(ABORT, {_literal(_sentence(model))});"
    conditions = {"update": "UPDATE", "delete": "DELETE", "insert": "INSERT"}
    return [
        Trigger(
            name=f"{table}_{word}_refused",
            table=table,
            sql=f"CREATE TRIGGER {connection.ops.quote_name(f'{table}_{word}_refused')} "
            f"BEFORE {event} ON {quoted}{_when_there(connection, model) if word == 'insert' else ''} "
            f"BEGIN {refuse} END",
        )
        for word, event in conditions.items()
    ]


def _when_there(connection: BaseDatabaseWrapper, model: type[Model]) -> str:
    """The condition that a row with one of the new row's keys exists."""
    quote = connection.ops.quote_name
    keys = [([field.column], "") for field in model._meta.concrete_fields if field.unique]
    keys += [
        _joint_key(connection, model, constraint)
        for constraint in model._meta.constraints
        if isinstance(constraint, UniqueConstraint)
    ]
    matches = [
        " AND ".join(f"{quote(column)} = NEW.{quote(column)}" for column in columns) + condition
        for columns, condition in keys
    ]
    either = " OR ".join(f"({match})" for match in matches)
    return f" WHEN EXISTS (SELECT 1 FROM {quote(model._meta.db_table)} WHERE {either})"  # noqa: S608


def _joint_key(
    connection: BaseDatabaseWrapper, model: type[Model], constraint: UniqueConstraint
) -> tuple[list[str], str]:
    """The columns of a unique constraint, and its condition said of the row there and of the new one."""
    if not constraint.fields:
        raise ImproperlyConfigured(f"{constraint.name}: a guarded table's keys are columns, not expressions.")
    fields = {field.name: field for field in model._meta.concrete_fields}
    columns = [fields[name].column for name in constraint.fields]
    there = constraint._get_condition_sql(model, connection.schema_editor())  # type: ignore[attr-defined]
    if not there:
        return columns, ""
    new = there
    for field in model._meta.concrete_fields:
        quoted = connection.ops.quote_name(field.column)
        new = new.replace(quoted, f"NEW.{quoted}")
    return columns, f" AND ({there}) AND ({new})"


def _sentence(model: type[Model]) -> str:
    return str(_sentences[model._meta.label])


def _literal(text: str) -> str:
    return "'" + text.replace("'", "''") + "'"


def _remake(connection: BaseDatabaseWrapper, model: type[Model]) -> None:
    with transaction.atomic(using=connection.alias), connection.cursor() as cursor:
        _drop(connection, model)
        if connection.vendor == "postgresql":
            function = connection.ops.quote_name(f"{model._meta.db_table}_kept")
            cursor.execute(
                f"CREATE OR REPLACE FUNCTION {function}() RETURNS trigger LANGUAGE plpgsql AS $kept$ BEGIN "
                f"RAISE EXCEPTION USING MESSAGE = {_literal(_sentence(model))}, "
                "ERRCODE = 'integrity_constraint_violation'; END $kept$"
            )
        for trigger in triggers_of(connection, model):
            cursor.execute(trigger.sql)


def _drop(connection: BaseDatabaseWrapper, model: type[Model]) -> None:
    on_table = f" ON {connection.ops.quote_name(model._meta.db_table)}"
    with connection.cursor() as cursor:
        for trigger in triggers_of(connection, model):
            name = connection.ops.quote_name(trigger.name)
            cursor.execute(
                f"DROP TRIGGER IF EXISTS {name}{on_table if connection.vendor == 'postgresql' else ''}"
            )


def present_triggers(connection: BaseDatabaseWrapper) -> set[tuple[str, str]]:
    """Names of the triggers in the database that are on, each with its table."""
    statement = (
        "SELECT relname, tgname FROM pg_trigger JOIN pg_class ON pg_class.oid = tgrelid "
        "WHERE NOT tgisinternal AND tgenabled <> 'D' AND relnamespace = current_schema()::regnamespace"
        if connection.vendor == "postgresql"
        else "SELECT tbl_name, name FROM sqlite_master WHERE type = 'trigger'"
    )
    with connection.cursor() as cursor:
        cursor.execute(statement)
        return set(cursor.fetchall())
