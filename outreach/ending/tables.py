"""Every table of ours as it goes into the open files: which columns stand where, and what they mean."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from django.apps import apps
from django.db import models

from outreach.staff import privacy

# They open doors and tell nothing of the programme.
LEFT_OUT = {"staff.StaffMember.password", "door.DoorPass.code_digest", "door.Device.token_digest"}
KINDS_OF_FIELD: tuple[tuple[type[models.Field], str], ...] = (
    (models.BooleanField, "boolean"),
    (models.DateTimeField, "string"),
    (models.DateField, "date"),
    (models.IntegerField, "integer"),
    (models.ForeignKey, "integer"),
    (models.FloatField, "number"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """One CSV: the model behind it, whether it is the personal part, and its columns."""

    model: type[models.Model]
    is_personal: bool
    fields: tuple[Any, ...]

    @property
    def name(self) -> str:
        part = "_personal" if self.is_personal else ""
        return self.model._meta.label_lower.replace(".", "_") + part

    @property
    def path(self) -> str:
        return f"{'personal' if self.is_personal else 'tables'}/{self.name}.csv"

    @property
    def about(self) -> str:
        """What one row is: the first paragraph of the model's docstring."""
        said = " ".join((self.model.__doc__ or "").split("\n\n")[0].split())
        return f"{said} (the personal columns)" if self.is_personal else said

    @property
    def columns(self) -> list[str]:
        return [field.attname for field in self.fields]

    def schema(self) -> dict[str, Any]:
        """As the Table Schema of the Frictionless standards asks."""
        return {
            "fields": [
                {"name": field.attname, "type": _kind_of(field), "description": _meaning_of(field)}
                for field in self.fields
            ],
            "primaryKey": self.model._meta.pk.attname,
            "missingValues": [""],
        }


def tables() -> Iterator[Table]:
    """The open part of each model, and beside it the personal part where it has one."""
    for model in apps.get_models():
        if not model.__module__.startswith("outreach."):
            continue
        personal = privacy.classes_of(model).personal
        fields = [
            one for one in model._meta.concrete_fields if f"{model._meta.label}.{one.name}" not in LEFT_OUT
        ]
        key = model._meta.pk
        theirs = [one for one in fields if one.name in personal]
        yield Table(
            model=model, is_personal=False, fields=tuple(one for one in fields if one.name not in personal)
        )
        if theirs:
            yield Table(model=model, is_personal=True, fields=(key, *[one for one in theirs if one != key]))


def _kind_of(field: Any) -> str:
    if isinstance(field, models.ForeignKey):
        field = field.target_field
    return next((kind for of, kind in KINDS_OF_FIELD if isinstance(field, of)), "string")


def _meaning_of(field: Any) -> str:
    words = str(field.verbose_name)
    if isinstance(field, models.ForeignKey):
        target = field.remote_field.model._meta.label_lower.replace(".", "_")
        words += f"; the {field.target_field.attname} of {target}"
    if field.flatchoices:
        words += "; one of " + ", ".join(f"{value} ({label})" for value, label in field.flatchoices)
    return words
