"""One registry that classes every field of ours: personal, household or open.

Each app has a `privacy.py`, found by itself at start-up, that declares each of its models once:

    from outreach.staff import audit, privacy

    privacy.declare(
        "households.Participant",
        personal={"full_name", "email", ...},   # names, ways to reach someone, free text, streets, cells
        household={"id", "household", ...},     # no names, but never open row by row
        open={...},                             # may stand in a published table
    )
    audit.keep("households.Participant")

A test demands that every column of every model is in exactly one class. The audit trail masks exactly
the personal ones; forgetting must empty them.
"""

from collections.abc import Collection
from dataclasses import dataclass

from django.apps import apps
from django.db.models import Model


@dataclass(frozen=True, slots=True, kw_only=True)
class Classes:
    """The fields of one model by class; no field is in two."""

    personal: frozenset[str]
    household: frozenset[str]
    open: frozenset[str]

    def __post_init__(self) -> None:
        named = [*self.personal, *self.household, *self.open]
        twice = sorted({name for name in named if named.count(name) > 1})
        if twice:
            raise ValueError(f"Class each field once; in two classes: {', '.join(twice)}.")


_declared: dict[str, Classes] = {}


def declare(
    label: str,
    *,
    personal: Collection[str] = (),
    household: Collection[str] = (),
    open: Collection[str] = (),
) -> None:
    """Class the fields of the model `label` ("app.Model"), by field name."""
    _declared[apps.get_model(label)._meta.label] = Classes(
        personal=frozenset(personal), household=frozenset(household), open=frozenset(open)
    )


def classes_of(model: type[Model]) -> Classes:
    """How the fields of a model are classed.

    Raises
    ------
    LookupError
        If the model's app has not declared it in its `privacy.py`.
    """
    label = model._meta.label
    if label not in _declared:
        raise LookupError(f"Declare {label} in the privacy.py of its app.")
    return _declared[label]
