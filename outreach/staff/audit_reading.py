"""Audit entries in words: field names as on the forms, values before and after."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from django.core.exceptions import FieldDoesNotExist
from django.db.models import BooleanField, DateField, DateTimeField, Field, ForeignKey, Model
from django.utils.formats import date_format
from django.utils.text import capfirst
from django.utils.timezone import localtime
from django.utils.translation import gettext as _

from outreach.staff import privacy
from outreach.staff.models import AuditEntry

NOTHING = ("", "None", None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One field of an entry. Where the value is personal, before and after are empty."""

    field: str
    before: str
    after: str
    is_masked: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadEntry:
    """One entry as a person reads it."""

    who: str
    at: datetime
    did: str
    is_addition: bool
    about: str
    changes: tuple[Change, ...]
    why: str


def read(entries: Iterable[AuditEntry]) -> list[ReadEntry]:
    """Put entries into words with one query for each kind of record that they point at."""
    entries = list(entries)
    names = _names_of_targets(entries)
    return [_read_one(entry, names) for entry in entries]


def _read_one(entry: AuditEntry, names: dict[tuple[type[Model], str], str]) -> ReadEntry:
    words = {AuditEntry.Action.CREATE: _("added"), AuditEntry.Action.UPDATE: _("changed")}
    is_change = entry.action == AuditEntry.Action.UPDATE
    changes = (
        _change(entry, name, pair, names) for name, pair in (entry.changes or {}).items() if name != "id"
    )
    return ReadEntry(
        who=entry.actor.full_name if entry.actor else _("the machine"),
        at=entry.timestamp,
        is_addition=entry.action == AuditEntry.Action.CREATE,
        did=words.get(entry.action, _("removed")),
        about=capfirst(entry.object_repr),
        changes=tuple(
            sorted((c for c in changes if is_change or c.before or c.after or c.is_masked), key=_by_field)
        ),
        why=entry.reason,
    )


def _by_field(change: Change) -> str:
    return change.field


def _field(entry: AuditEntry, name: str) -> Field[Any, Any] | None:
    model = entry.content_type.model_class()
    try:
        return model._meta.get_field(name) if model else None
    except FieldDoesNotExist:
        return None


def _change(
    entry: AuditEntry, name: str, pair: list[Any], names: dict[tuple[type[Model], str], str]
) -> Change:
    field = _field(entry, name)
    if field is None:
        return Change(field=name, before=str(pair[0]), after=str(pair[1]), is_masked=False)
    if isinstance(pair, dict):
        return _change_of_list(field, pair)
    is_masked = name in privacy.classes_of(field.model).personal
    before, after = ("", "") if is_masked else (_in_words(field, value, names) for value in pair)
    return Change(field=str(field.verbose_name), before=before, after=after, is_masked=is_masked)


def _change_of_list(field: Field[Any, Any], said: dict[str, Any]) -> Change:
    """Records that were added to a list, or taken off it."""
    names, is_added = ", ".join(sorted(said["objects"])), said["operation"] == "add"
    before, after = ("", names) if is_added else (names, "")
    return Change(field=str(field.verbose_name), before=before, after=after, is_masked=False)


def _in_words(field: Field[Any, Any], value: Any, names: dict[tuple[type[Model], str], str]) -> str:
    if value in NOTHING:
        return ""
    if isinstance(field, ForeignKey):
        target = field.remote_field.model
        return names.get((target, str(value)), f"{target._meta.verbose_name} {value}")
    if isinstance(field, BooleanField):
        return _("yes") if str(value) == "True" else _("no")
    if isinstance(field, DateField):
        return _date_in_words(field, str(value))
    return str(dict(field.flatchoices).get(value, value))


def _date_in_words(field: DateField, written: str) -> str:
    """A day, or an instant that the trail keeps in UTC without saying so, in the site's own time."""
    try:
        instant = datetime.fromisoformat(written)
    except ValueError:
        return written
    if not isinstance(field, DateTimeField):
        return date_format(instant.date())
    aware = instant.replace(tzinfo=UTC) if instant.tzinfo is None else instant
    return date_format(localtime(aware), "DATETIME_FORMAT")


def _names_of_targets(entries: list[AuditEntry]) -> dict[tuple[type[Model], str], str]:
    """Names of records that entries point at; those with personal fields stay kind and number."""
    wanted: dict[type[Model], set[str]] = defaultdict(set)
    for entry in entries:
        for name, pair in (entry.changes or {}).items():
            field = _field(entry, name)
            if isinstance(field, ForeignKey) and _may_be_named(field.remote_field.model):
                wanted[field.remote_field.model] |= {str(value) for value in pair if value not in NOTHING}
    return {
        (model, str(record.pk)): str(record)
        for model, keys in wanted.items()
        for record in model._default_manager.filter(pk__in=keys)
    }


def _may_be_named(model: type[Model]) -> bool:
    """Whether the record's name is safe to show: staff, and records without personal or household fields."""
    if model._meta.label == "staff.StaffMember":
        return True
    try:
        classes = privacy.classes_of(model)
    except LookupError:
        return False
    return not classes.personal and not classes.household
