"""Queries whose text is made once in a process.

The Door answers every check-in with the same few queries, and making the text of such a query takes ten times
as long as running it.
"""

import uuid
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any, Generic, TypeAlias, TypeVar

from django.db import connection, models
from django.db.models import Model, QuerySet

Query: TypeAlias = "QuerySet[Any, Any]"
One = TypeVar("One", bound=Model)

# What stands in the text where a value goes, by the kind of its field; nothing on record is any of these.
NUMBER, NAME, INSTANT, WORDS = (
    -(2**40),
    uuid.UUID(int=2**128 - 2**40),
    datetime(1901, 1, 1, tzinfo=UTC),
    "\x7f",
)
_PLACEHOLDERS: "dict[type[Any], tuple[Any, models.Field[Any, Any]]]" = {
    int: (NUMBER, models.BigIntegerField()),
    uuid.UUID: (NAME, models.UUIDField()),
    datetime: (INSTANT, models.DateTimeField()),
    str: (WORDS, models.TextField()),
}


@dataclass(frozen=True, slots=True)
class _Text:
    """A query as the database is sent it: a parameter that is a number of ours stands for what is given."""

    sql: str
    parameters: tuple[Any, ...]
    compiler: Any


class Prepared:
    """Rows of values; `make` is given one value of each of `kinds`, each kind at most once, and returns a query."""

    def __init__(self, make: Callable[..., Query], *kinds: type[Any]) -> None:
        self._make, self._kinds = make, kinds
        self._texts: dict[str, _Text] = {}

    def rows(self, *given: Any) -> list[tuple[Any, ...]]:
        text = self._text()
        values = {
            self._as_sent(kind, _PLACEHOLDERS[kind][0]): self._as_sent(kind, value)
            for kind, value in zip(self._kinds, given, strict=True)
        }
        with connection.cursor() as cursor:
            cursor.execute(text.sql, [values.get(one, one) for one in text.parameters])
            return list(cursor.fetchall())

    def _text(self) -> _Text:
        if connection.vendor not in self._texts:
            query = self._make(*(_PLACEHOLDERS[kind][0] for kind in self._kinds)).query
            compiler = query.get_compiler(connection=connection)
            sql, parameters = compiler.as_sql()
            self._texts[connection.vendor] = _Text(sql, tuple(parameters), compiler)
        return self._texts[connection.vendor]

    @staticmethod
    def _as_sent(kind: type[Any], value: Any) -> Any:
        return _PLACEHOLDERS[kind][1].get_db_prep_value(value, connection)


class PreparedRecord(Prepared, Generic[One]):
    """One record of a model; the query chooses all of its columns and no others."""

    def one(self, *given: Any) -> One | None:
        rows = self.rows(*given)
        compiler = self._text().compiler
        columns = [column for column, _sql, _alias in compiler.select]
        converters = compiler.get_converters(columns)
        read = compiler.apply_converters(rows, converters) if converters else rows
        names = [column.target.attname for column in columns]
        found = (compiler.query.model.from_db(connection.alias, names, row) for row in read)
        return next(found, None)
