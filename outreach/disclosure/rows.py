"""The rows of a disclosure: what may be shown of each field, and why the others are blacked out."""

import hashlib
import hmac
import secrets
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any

from django.conf import settings
from django.db.models import Count, DateTimeField, QuerySet
from django.utils import timezone

from outreach.disclosure.models import RecordsRequest
from outreach.disclosure.row_kinds import RowKind, field_of
from outreach.disclosure.withholding import Rule, Rules, heading_of

BLACKED_OUT = "█████"
TOO_FEW = "(not shown: few households)"
ROWS_AT_ONCE = 2_000


@dataclass(slots=True)
class Numbers:
    """Random numbers in place of those of households: the same within a disclosure, and no way back."""

    secret: bytes = field(default_factory=lambda: secrets.token_bytes(32))

    def of(self, household: int | None) -> str:
        if household is None:
            return ""
        return f"H-{hmac.new(self.secret, str(household).encode(), hashlib.sha256).hexdigest()[:14]}"


def asked_for(request: RecordsRequest, kind: RowKind) -> "QuerySet[Any]":
    """The records of a kind that are dated within the days of the request."""
    lookup = kind.dated_by
    if isinstance(field_of(kind.of, lookup.split("__")), DateTimeField):
        lookup += "__date"
    days = (request.first_day_on, request.last_day_on)
    return kind.of._default_manager.filter(**{f"{lookup}__range": days}).order_by(kind.dated_by, "pk")


@dataclass(slots=True)
class Blackening:
    """One kind of records of one request on its way to a file."""

    request: RecordsRequest
    kind: RowKind
    rules: Rules
    numbers: Numbers
    withheld: Counter[str] = field(default_factory=Counter)

    def heading(self) -> list[str]:
        """Every column, and beside one that may be blacked out, why."""
        names = ["row"]
        for column in self.kind.all_columns:
            names.append(heading_of(column))
            if self.rules.on(self.kind, column):
                names.append(f"{heading_of(column)}, why withheld")
        return names

    def rows(self) -> Iterator[list[object]]:
        """The rows as they may be seen, in the order of their days."""
        shown = self._groups_shown()
        rules = [(column, self.rules.on(self.kind, column)) for column in self.kind.all_columns]
        number = 0
        for page in self._pages():
            released = self._released([row[0] for row in page])
            for pk, *values in page:
                number += 1
                line: list[object] = [number]
                for (column, rule), value in zip(rules, values, strict=True):
                    if rule is None:
                        line.append(self._shown(column, value, shown))
                    elif (pk, column) in released:
                        line += [value, ""]
                    else:
                        line += self._blacked_out(column, value, rule)
                yield line

    def _blacked_out(self, column: str, value: Any, rule: Rule) -> Sequence[object]:
        if value in (None, "", [], {}):
            return ["", ""]
        self.withheld[column] += 1
        return [BLACKED_OUT, rule.in_words]

    def _shown(self, column: str, value: Any, shown: dict[str, set[Any]]) -> object:
        if column == self.kind.household:
            return self.numbers.of(value)
        if column in shown and value is not None and value not in shown[column]:
            return TOO_FEW
        if column in self.kind.names_only:
            return ", ".join(sorted(value or {}))
        if isinstance(value, datetime):
            return timezone.localtime(value).isoformat(sep=" ", timespec="minutes")
        if isinstance(value, date):
            return value.isoformat()
        return dict(getattr(field_of(self.kind.of, column.split("__")), "flatchoices", ())).get(value, value)

    def _pages(self) -> Iterator[list[tuple[Any, ...]]]:
        page: list[tuple[Any, ...]] = []
        found = asked_for(self.request, self.kind).values_list("pk", *self.kind.all_columns)
        for row in found.iterator(chunk_size=ROWS_AT_ONCE):
            page.append(row)
            if len(page) == ROWS_AT_ONCE:
                yield page
                page = []
        if page:
            yield page

    def _released(self, rows: list[int]) -> set[tuple[int, str]]:
        words = set(self.kind.words)
        found = self.request.released.of_kind(self.kind.key).of_rows(rows).places()
        return {(row, column) for row, column in found if column in words}

    def _groups_shown(self) -> dict[str, set[Any]]:
        """Of each column that is shown for groups alone, the values that enough households share."""
        if not self.kind.groups:
            return {}
        found = asked_for(self.request, self.kind).order_by()
        shown = {}
        for column in self.kind.groups:
            homes = found.values(column).annotate(homes=Count(self.kind.household, distinct=True))
            counts = {row[column]: row["homes"] for row in homes if row[column] is not None}
            shown[column] = large_enough(counts, smallest=settings.SMALLEST_COUNT)
        return shown


def large_enough(counts: Mapping[Any, int], *, smallest: int) -> set[Any]:
    """The groups that are shown. Those that are not are two at least and enough together, or one could tell which."""
    ranked = sorted(counts, key=lambda group: (counts[group], str(group)))
    hidden = [group for group in ranked if counts[group] < smallest]
    while hidden and len(hidden) < len(ranked):
        if len(hidden) > 1 and sum(counts[group] for group in hidden) >= smallest:
            break
        hidden.append(ranked[len(hidden)])
    return set(ranked) - set(hidden)


def words_to_release(request: RecordsRequest, kind: RowKind) -> "QuerySet[Any]":
    """The rows of a kind that hold any free text."""
    found = asked_for(request, kind)
    empty = dict.fromkeys(kind.words, "")
    return found.exclude(**empty) if empty else found.none()
