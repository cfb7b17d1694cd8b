"""Merging two records of one household, and setting everything back.

Rows keep `household` as recorded; what follows a merge (`counted_under`, links) is set by handlers
that each app registers in its `AppConfig.ready()`. A handler returns what it set, and is given exactly
that to set it back.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Protocol

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext as _

from outreach.households.models import Household, HouseholdMerge
from outreach.staff.models import StaffMember


class MergeHandler(Protocol):
    """What an app does when a household is absorbed into another."""

    def merge(self, kept: Household, absorbed: Household) -> Any:
        """Set what has to follow; return it as JSON, enough to set it back."""

    def undo(self, what_was_set: Any) -> None:
        """Set back exactly what `merge` returned."""


@dataclass(frozen=True, slots=True)
class Registered:
    """A handler and the foreign keys it answers for, as 'workshops.Registration.counted_under'."""

    name: str
    handler: MergeHandler
    covers: frozenset[str]


_handlers: dict[str, Registered] = {}
# The handler that moves records merged earlier along, and what of it names them.
EARLIER, RECORDS = "households", "households"


def register(name: str, handler: MergeHandler, *, covers: Iterable[str] = ()) -> None:
    """Register a handler; `covers` names each foreign key to Household that it follows, or leaves
    as recorded on purpose ('workshops.Registration.household')."""
    _handlers[name] = Registered(name, handler, frozenset(covers))


def covered() -> frozenset[str]:
    """Every foreign key to Household that some handler answers for."""
    return frozenset().union(*(one.covers for one in _handlers.values()))


@transaction.atomic
def merge(
    *, kept: Household, absorbed: Household, by: StaffMember, at: datetime, reason: str
) -> HouseholdMerge:
    """Count everything of `absorbed` under `kept` from now on; both histories stay as recorded."""
    kept, absorbed = _locked(kept, absorbed)
    _refuse_what_cannot_merge(kept, absorbed)
    record = HouseholdMerge(kept=kept, absorbed=absorbed, reason=reason, merged_at=at, merged_by=by)
    record.full_clean()
    absorbed.merged_into = kept
    absorbed.full_clean()
    absorbed.save(update_fields=["merged_into"])
    record.what_was_set = {one.name: one.handler.merge(kept, absorbed) for one in _handlers.values()}
    record.save()
    return record


@transaction.atomic
def unmerge(*, record: HouseholdMerge, by: StaffMember, at: datetime) -> HouseholdMerge:
    """Set back what the merge set, in the opposite order; the merge stays in the history as undone."""
    record = HouseholdMerge.objects.select_for_update().get(pk=record.pk)
    kept, absorbed = _locked(record.kept, record.absorbed)
    _refuse_what_cannot_be_undone(record, kept, absorbed)
    absorbed.merged_into = None
    absorbed.full_clean()
    absorbed.save(update_fields=["merged_into"])
    for name, what_was_set in reversed(list(record.what_was_set.items())):
        _handlers[name].handler.undo(what_was_set)
    record.undone_at, record.undone_by = at, by
    record.full_clean()
    record.save(update_fields=["undone_at", "undone_by"])
    return record


def records_of(absorbed_id: int) -> list[int]:
    """An absorbed household's own number and those of the records merged into it before it was absorbed.

    While the merge is being undone, what names any of these counts under the absorbed household again, also
    what was recorded in the meantime.
    """
    record = HouseholdMerge.objects.that_absorbed(absorbed_id)
    earlier = record.what_was_set.get(EARLIER, {}).get(RECORDS, [])
    return sorted({absorbed_id, *earlier})


def _locked(*households: Household) -> list[Household]:
    """The same households under the lock, taken in the order of their numbers so that no two wait."""
    ids = [household.pk for household in households]
    rows = Household.objects.select_for_update().order_by("pk").in_bulk(ids)
    return [rows[pk] for pk in ids]


def _refuse_what_cannot_merge(kept: Household, absorbed: Household) -> None:
    if kept.pk == absorbed.pk:
        raise ValidationError(_("Choose two different households to merge."))
    for household in (kept, absorbed):
        if household.merged_into_id is not None:
            raise ValidationError(
                _("%(household)s is already merged into %(root)s. Merge that one instead.")
                % {"household": household, "root": household.counted_under}
            )


def _refuse_what_cannot_be_undone(record: HouseholdMerge, kept: Household, absorbed: Household) -> None:
    if record.undone_at is not None:
        raise ValidationError(_("This merge has already been undone."))
    if kept.merged_into_id is not None:
        raise ValidationError(
            _("%(kept)s was merged into %(root)s later. Undo that merge first.")
            % {"kept": kept, "root": kept.counted_under}
        )
    if _another_lives_there(absorbed):
        raise ValidationError(
            _("%(absorbed)s cannot stand for itself again: another household is now recorded at its address.")
            % {"absorbed": absorbed}
        )


def _another_lives_there(absorbed: Household) -> bool:
    if absorbed.ended_on is not None:
        return False
    there = Household.objects.at_address(absorbed.address_key, absorbed.unit_key)
    return there.standing_open().exclude(pk=absorbed.pk).exists()
