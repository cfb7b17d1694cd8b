"""Emptying rows of one model: those that are theirs, and their words wherever else they stand."""

import json
from collections.abc import Collection, Iterable, Mapping
from typing import Any

from django.apps import apps
from django.db.models import Field, JSONField, Model, Q, QuerySet, TextField
from django.db.models.functions import Cast

from outreach.households.whom import Whom
from outreach.staff import guard
from outreach.staff.audit import MASK

Label = str


class Rows:
    """What forgetting does to one model.

    `empties` are emptied in rows that `of_people` or `of_homes` (lookups) lead to. `masks` are searched in
    all rows, and the words of the person put out where they stand: free text that nobody can look up by
    person. `leaves` names fields that tell of staff or devices only, with the reason.
    """

    def __init__(  # what one model needs said; every caller names them
        self,
        label: Label,
        *,
        empties: Collection[str] = (),
        of_people: Collection[str] = (),
        of_homes: Collection[str] = (),
        masks: Collection[str] = (),
        leaves: Mapping[str, str] | None = None,
    ) -> None:
        self.label = label
        self.empties, self.masks, self.leaves = tuple(empties), tuple(masks), dict(leaves or {})
        self.of_people, self.of_homes = tuple(of_people), tuple(of_homes)

    @property
    def covers(self) -> frozenset[str]:
        return frozenset(f"{self.label}.{name}" for name in (*self.empties, *self.masks, *self.leaves))

    def forget(self, whom: Whom) -> dict[str, int]:
        """Empty and mask; how many rows that were."""
        model = apps.get_model(self.label)
        with guard.lifted_for(model):
            changed = self._empty(model, whom) | self._mask(model, whom)
        return {self.label: len(changed)} if changed else {}

    def _empty(self, model: type[Model], whom: Whom) -> set[Any]:
        theirs = Q(pk__in=[])
        for lookup in self.of_people:
            theirs |= Q(**{f"{lookup}__in": whom.people})
        for lookup in self.of_homes:
            theirs |= Q(**{f"{lookup}__in": whom.homes})
        return rewrite(model._default_manager.filter(theirs), self.empties, emptied)

    def _mask(self, model: type[Model], whom: Whom) -> set[Any]:
        changed: set[Any] = set()
        for name in (*self.empties, *self.masks):
            changed |= rewrite(may_hold(model, name, whom.tokens), [name], lambda value: masked(value, whom))
        return changed


def may_hold(model: type[Model], name: str, tokens: Iterable[str]) -> "QuerySet[Any]":
    """Rows in whose field one of these stretches of text stands, JSON by its text."""
    either = Q(pk__in=[])
    for token in tokens:
        either |= Q(as_text__icontains=token)
        if isinstance(model._meta.get_field(name), JSONField):
            either |= Q(as_text__icontains=json.dumps(token)[1:-1])
    return model._default_manager.annotate(as_text=Cast(name, TextField())).filter(either)


def rewrite(rows: "QuerySet[Any]", names: Collection[str], turned: Any) -> set[Any]:
    """Give each named field its turned value; numbers of the rows in which something changed."""
    changed = set()
    for row in list(rows.order_by().distinct() if names else []):
        new = {name: turned(getattr(row, name)) for name in names}
        new = {name: value for name, value in new.items() if value != getattr(row, name)}
        if new:
            type(row)._default_manager.filter(pk=row.pk).update(**_cut(row, new))
            changed.add(row.pk)
    return changed


def _cut(row: Model, new: dict[str, Any]) -> dict[str, Any]:
    """No longer than the column."""
    for name, value in new.items():
        field: Field[Any, Any] = row._meta.get_field(name)  # type: ignore[assignment]
        if isinstance(value, str) and field.max_length:
            new[name] = value[: field.max_length]
    return new


def emptied(value: Any) -> Any:
    """A mask where there was something, so that a rule that asks for words still holds."""
    if isinstance(value, str):
        return MASK if value else ""
    return type(value)() if isinstance(value, (dict, list)) else value


def masked(value: Any, whom: Whom) -> Any:
    """The same with the words of the person put out, in all parts of it."""
    if isinstance(value, str):
        return whom.pattern.sub(MASK, value) if whom.pattern else value
    if isinstance(value, dict):
        return {masked(key, whom): masked(one, whom) for key, one in value.items()}
    if isinstance(value, list):
        return [masked(one, whom) for one in value]
    return value
