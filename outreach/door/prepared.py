"""Queries whose text is made once in a process.

The Door answers every check-in with the same few counts, and making the text of such a query takes ten times
as long as running it.
"""

from collections.abc import Callable
from typing import Any, TypeAlias

from django.db import connection
from django.db.models import Model, QuerySet

# No row has this number; it stands in the text where the number of a workshop goes.
A_WORKSHOP = -(2**40)

Values: TypeAlias = "QuerySet[Any, Any]"


class Prepared:
    """Rows of values about one workshop; `make` is given its number and returns a `values_list`."""

    def __init__(self, make: Callable[[int], Values]) -> None:
        self._make = make
        self._texts: dict[str, tuple[str, tuple[Any, ...]]] = {}

    def rows(self, workshop: Model) -> list[tuple[Any, ...]]:
        text, parameters = self._text()
        given = [workshop.pk if one == A_WORKSHOP else one for one in parameters]
        with connection.cursor() as cursor:
            cursor.execute(text, given)
            return list(cursor.fetchall())

    def _text(self) -> tuple[str, tuple[Any, ...]]:
        if connection.vendor not in self._texts:
            compiler = self._make(A_WORKSHOP).query.get_compiler(connection=connection)
            self._texts[connection.vendor] = compiler.as_sql()
        return self._texts[connection.vendor]
