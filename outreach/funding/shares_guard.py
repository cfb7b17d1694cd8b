"""The database itself refuses shares that add up to more than their whole: nothing is paid for twice.

Triggers, made anew after every `migrate`, since SQLite drops them silently when it rebuilds a table. That the
shares of a cost do not fall short of it is up to the action that writes them, and is looked at by
`check_records`: while they are being written they always do.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from django.apps import AppConfig, apps
from django.core import checks
from django.db import DEFAULT_DB_ALIAS, connections
from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.models import F, Model, Sum
from django.db.models.functions import Coalesce

from outreach.staff.guard import present_triggers


@dataclass(frozen=True, slots=True, kw_only=True)
class Parted:
    """A table, the column that is parted, and the table of its parts."""

    whole: str
    amount: str
    part: str
    share: str
    link: str
    sentence: str
    # None of it may be shared at all, and then it has no parts.
    may_have_none: bool = False

    @property
    def whole_model(self) -> type[Model]:
        return apps.get_model(self.whole)

    @property
    def part_model(self) -> type[Model]:
        return apps.get_model(self.part)


COST = Parted(
    whole="funding.Cost",
    amount="amount_cents",
    part="funding.CostShare",
    share="cents",
    link="cost",
    sentence="The shares of a cost add up to more than the cost.",
)
HOURS = Parted(
    whole="funding.Hours",
    amount="minutes",
    part="funding.HoursShare",
    share="minutes",
    link="hours",
    sentence="The shares of some hours add up to more than the hours.",
    may_have_none=True,
)


def make_triggers(sender: AppConfig, using: str = DEFAULT_DB_ALIAS, **signal: Any) -> None:
    """Make the triggers anew. Connected to `post_migrate` of this app."""
    connection = connections[using]
    tables = connection.introspection.table_names()
    for parted in (COST, HOURS):
        if {parted.whole_model._meta.db_table, parted.part_model._meta.db_table} <= set(tables):
            with connection.cursor() as cursor:
                for statement in statements(connection, parted):
                    cursor.execute(statement)


def look(app_configs: Any = None, databases: Any = None, **options: Any) -> list[checks.CheckMessage]:
    """The system check: each table whose parts are guarded has its triggers, and they are on."""
    found: list[checks.CheckMessage] = []
    for alias in databases or ():
        connection = connections[alias]
        tables, present = set(connection.introspection.table_names()), present_triggers(connection)
        found += [
            checks.Error(
                f"The table {table} has lost the trigger {name} that keeps shares within their whole.",
                hint="Run `manage.py migrate`; it makes the triggers anew.",
                obj=parted.whole_model,
                id="funding.E001",
            )
            for parted in (COST, HOURS)
            for name, _event, table, _key in _triggers(parted)
            if table in tables and (table, name) not in present
        ]
    return found


def statements(connection: BaseDatabaseWrapper, parted: Parted) -> Iterator[str]:
    """What makes the triggers of one table and its parts, those there are first taken away."""
    for name, event, table, key in _triggers(parted):
        make = _for_postgresql if connection.vendor == "postgresql" else _for_sqlite
        yield from make(parted, name=name, event=event, table=table, key=key)


def _triggers(parted: Parted) -> tuple[tuple[str, str, str, str], ...]:
    """Name, event, table and the key of the whole, of each trigger."""
    part, whole = parted.part_model._meta.db_table, parted.whole_model._meta.db_table
    return (
        (f"{part}_within", "INSERT", part, f"NEW.{parted.link}_id"),
        (f"{part}_still_within", "UPDATE", part, f"NEW.{parted.link}_id"),
        (f"{whole}_not_below", f"UPDATE OF {parted.amount}", whole, "NEW.id"),
    )


def _is_more(parted: Parted, key: str) -> str:
    part, whole = parted.part_model._meta.db_table, parted.whole_model._meta.db_table
    # Names of tables and columns are our own.
    return (
        f"(SELECT SUM({parted.share}) FROM {part} WHERE {parted.link}_id = {key}) > "  # noqa: S608
        f"(SELECT {parted.amount} FROM {whole} WHERE id = {key})"
    )


def _for_sqlite(parted: Parted, *, name: str, event: str, table: str, key: str) -> Iterator[str]:
    yield f"DROP TRIGGER IF EXISTS {name}"
    yield (
        f"CREATE TRIGGER {name} AFTER {event} ON {table} WHEN {_is_more(parted, key)} "
        f"BEGIN SELECT RAISE(ABORT, '{parted.sentence}'); END"
    )


def _for_postgresql(parted: Parted, *, name: str, event: str, table: str, key: str) -> Iterator[str]:
    """The whole is locked first, so that two people who share it at once see each other's parts."""
    whole = parted.whole_model._meta.db_table
    yield f"DROP TRIGGER IF EXISTS {name} ON {table}"
    yield (
        f"CREATE OR REPLACE FUNCTION {name}() RETURNS trigger LANGUAGE plpgsql AS $within$ BEGIN "
        f"PERFORM 1 FROM {whole} WHERE id = {key} FOR UPDATE; "
        f"IF {_is_more(parted, key)} THEN RAISE EXCEPTION USING MESSAGE = '{parted.sentence}', "
        "ERRCODE = 'integrity_constraint_violation'; END IF; RETURN NULL; END $within$"
    )
    yield f"CREATE TRIGGER {name} AFTER {event} ON {table} FOR EACH ROW EXECUTE FUNCTION {name}()"


def shares_that_differ() -> list[str]:
    """Wholes whose parts do not add up to them, one line each, for `check_records`."""
    return [line for parted in (COST, HOURS) for line in _differing(parted)]


def _differing(parted: Parted) -> Iterator[str]:
    rows = parted.whole_model._default_manager.annotate(shared=Coalesce(Sum(f"shares__{parted.share}"), 0))
    rows = rows.exclude(shared=F(parted.amount))
    if parted.may_have_none:
        rows = rows.exclude(shared=0)
    for pk, amount, shared in rows.order_by("pk").values_list("pk", parted.amount, "shared"):
        yield f"{parted.whole} {pk}: {amount}, its shares add up to {shared}"


def leave_to_a_person() -> None:
    """Which source pays how much is for a person to say: the lines name the costs and hours to correct."""
