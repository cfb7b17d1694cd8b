"""When a household was last heard of, and whether it still uses its bin; each app says what it knows of that.

last_contact.hear_from("answers", Latest("followup.Answer", of="counted_under", days=["answered_on"]))
"""

from collections.abc import Callable, Collection, Mapping
from datetime import date, datetime
from typing import TypeAlias

from django.apps import apps
from django.db.models import F, Max, Q
from django.db.models.functions import Coalesce
from django.utils import timezone

# Of these households, by number of their root: the latest day. The day of asking is handed in.
Heard: TypeAlias = Callable[[Collection[int], date], Mapping[int, date]]
# Of these households, the ones that have a bin in use that day.
InUse: TypeAlias = Callable[[Collection[int], date], Collection[int]]

COUNTED_UNDER = "counted_under"

_heard: dict[str, Heard] = {}
_in_use: dict[str, InUse] = {}


class Latest:
    """The latest day in some columns of one model, for each household.

    `of` is the column of the household a row belongs to: the root itself, or a record that may be merged.
    `days` are dates, `instants` are moments in time.
    """

    def __init__(
        self, label: str, *, of: str, days: Collection[str] = (), instants: Collection[str] = ()
    ) -> None:
        self.label, self.of, self.columns = label, of, (*days, *instants)

    def __call__(self, roots: Collection[int], on: date) -> dict[int, date]:
        rows = apps.get_model(self.label)._default_manager.order_by()
        root: F | Coalesce
        if self.of == COUNTED_UNDER:
            rows, root = rows.filter(counted_under__in=roots), F(COUNTED_UNDER)
        else:
            rows, root = rows.filter(self._theirs(roots)), Coalesce(F(f"{self.of}__merged_into"), F(self.of))
        latest = {f"latest_{name.replace('__', '_')}": Max(name) for name in self.columns}
        named = rows.values(root=root).annotate(**latest)
        found = {}
        for row in named:
            days = [_day(row[name]) for name in latest if row[name] is not None]
            if days:
                found[row["root"]] = max(days)
        return found

    def _theirs(self, roots: Collection[int]) -> Q:
        return Q(**{f"{self.of}__in": roots}) | Q(**{f"{self.of}__merged_into__in": roots})


def hear_from(name: str, source: Heard) -> None:
    """Add a source of last days; the same name again replaces it."""
    _heard[name] = source


def in_use_by(name: str, source: InUse) -> None:
    """Add a source that knows whose bin is in use; the same name again replaces it."""
    _in_use[name] = source


def last_days(roots: Collection[int], on: date) -> dict[int, date]:
    """The latest day on which anything tells of each household; none for whom nothing does."""
    latest: dict[int, date] = {}
    for source in _heard.values():
        for root, day in source(roots, on).items():
            latest[root] = max(day, latest.get(root, day))
    return latest


def with_a_bin_in_use(roots: Collection[int], on: date) -> set[int]:
    return {root for source in _in_use.values() for root in source(roots, on)}


def moves(roots: Collection[int], on: date) -> dict[int, date]:
    """Since when the programme has known each household, and when it moved out."""
    records = apps.get_model("households", "Household")._default_manager.order_by()
    theirs = records.filter(Q(pk__in=roots) | Q(merged_into__in=roots))
    rows = theirs.values_list(Coalesce(F("merged_into"), F("pk")), "began_on", "ended_on")
    latest: dict[int, date] = {}
    for root, *days in rows:
        latest[root] = max([day for day in (*days, latest.get(root)) if day is not None])
    return latest


def _day(moment: date) -> date:
    return timezone.localdate(moment) if isinstance(moment, datetime) else moment
