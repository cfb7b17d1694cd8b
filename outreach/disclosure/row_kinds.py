"""The kinds of records that can be asked for: the columns of each, and what dates a row."""

from collections.abc import Iterator
from dataclasses import dataclass

from django.apps import apps
from django.db.models import Field, Model
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from outreach.disclosure.models import Withholding
from outreach.filings.documents.row_sheets import PERSON
from outreach.staff import privacy

OPEN = "open"
MOST_PRIVATE_FIRST = (Withholding.PERSON, Withholding.WORDS, Withholding.HOUSEHOLD, OPEN)
ENTERED = ("entered_at", "entered_by__role")


@dataclass(frozen=True, slots=True, kw_only=True)
class RowKind:
    """One file of a disclosure.

    `columns` are fields, or fields of what a row points at, after two underscores. `words` are free text that a
    person may release row by row. `household` names the column that leads to the household, `groups` those that
    are shown only where several households of the rows share the value, `names_only` JSON of which only the
    names of its fields are shown.
    """

    key: str
    title: str | Promise
    model: str
    dated_by: str
    columns: tuple[str, ...]
    words: tuple[str, ...] = ()
    household: str = ""
    groups: tuple[str, ...] = ()
    names_only: tuple[str, ...] = ()

    @property
    def of(self) -> type[Model]:
        return apps.get_model(self.model)

    @property
    def all_columns(self) -> tuple[str, ...]:
        return (*self.columns, *self.words)

    def class_of(self, column: str) -> str:
        """The most private class on the way to the column."""
        found = set(_classes_on_the_way(self.of, column.split("__")))
        if Withholding.PERSON in found and column in self.words:
            return Withholding.WORDS
        return next(one for one in MOST_PRIVATE_FIRST if one in found)


def _classes_on_the_way(model: type[Model], parts: list[str]) -> Iterator[str]:
    yield class_of_field(model, parts[0])
    if parts[1:]:
        yield from _classes_on_the_way(field_of(model, parts[:1]).related_model, parts[1:])  # type: ignore[arg-type]


def class_of_field(model: type[Model], name: str) -> str:
    """How the register of fields classes one field; tables that are not ours hold nothing of anyone."""
    if not model.__module__.startswith("outreach."):
        return OPEN
    classes = privacy.classes_of(model)
    if name in classes.personal:
        return Withholding.PERSON
    return OPEN if name in classes.open else Withholding.HOUSEHOLD


def field_of(model: type[Model], parts: list[str]) -> "Field":
    """The field at the end of the way."""
    field = model._meta.get_field(parts[0])
    if parts[1:]:
        return field_of(field.related_model, parts[1:])  # type: ignore[arg-type]
    return field  # type: ignore[return-value]


KINDS = (
    RowKind(
        key="workshops",
        title=_("Workshops"),
        model="workshops.Workshop",
        dated_by="held_on",
        columns=(
            "id",
            "held_on",
            "kind",
            "state",
            "venue__name",
            "venue__street",
            "jurisdiction__name",
            "language",
            "seats",
            "booked_people",
            "bins_planned",
            "headcount_unlisted",
        ),
        words=("note", "state_reason"),
    ),
    RowKind(
        key="registrations",
        title=_("Registrations"),
        model="workshops.Registration",
        dated_by="workshop__held_on",
        household="counted_under",
        groups=("counted_under__district__name",),
        columns=(
            "counted_under",
            *PERSON,
            "counted_under__district__name",
            "workshop",
            "workshop__held_on",
            "state",
            "is_outside_area",
            "registered_at",
            "arrived_at",
            "came_with",
            "waiver_initials",
        ),
        words=("note",),
    ),
    RowKind(
        key="handouts",
        title=_("Handouts"),
        model="bins.Handout",
        dated_by="handed_on",
        household="counted_under",
        groups=("counted_under__district__name",),
        columns=(
            "counted_under",
            *PERSON,
            "counted_under__district__name",
            "handed_on",
            "workshop",
            "bin_model__name",
            "bin_model__family",
            "lot",
            "how",
            "picked_up_by",
            "is_subsidised",
            "copay_cents",
            "returned_on",
            "voided_at",
            *ENTERED,
        ),
        words=("note", "void_reason"),
    ),
    RowKind(
        key="stock_movements",
        title=_("Stock movements"),
        model="bins.StockMovement",
        dated_by="moved_on",
        columns=(
            "id",
            "moved_on",
            "bin_model__name",
            "quantity",
            "from_place__name",
            "to_place__name",
            "why",
            "lot",
            "order",
            *ENTERED,
        ),
        words=("note",),
    ),
    RowKind(
        key="answers",
        title=_("Answers"),
        model="followup.Answer",
        dated_by="answered_on",
        household="counted_under",
        groups=("counted_under__district__name",),
        columns=(
            "counted_under",
            *PERSON,
            "counted_under__district__name",
            "wave__name",
            "channel",
            "answered_on",
            "received_on",
            "composting",
            "stopped_on",
            "food_ml_per_week",
            "food_g_per_week",
            "yard_ml_per_week",
            "yard_g_per_week",
            "browns_ml_per_week",
            "food_trash_percent",
            "food_composted_percent",
            "yard_trash_percent",
            "yard_composted_percent",
            "is_current",
            *ENTERED,
        ),
        words=(
            "why_stopped",
            "food_as_written",
            "yard_as_written",
            "before_as_written",
            "problems",
            "harvested",
            "remarks",
            "review_reason",
        ),
    ),
    RowKind(
        key="exceptions",
        title=_("Exceptions"),
        model="bins.RuleException",
        dated_by="flagged_at",
        household="household",
        columns=("household", "kind", "flagged_at", "reasoned_at", "allowed_by__role"),
        words=("about", "reason"),
    ),
    RowKind(
        key="costs",
        title=_("Costs"),
        model="funding.Cost",
        dated_by="spent_on",
        columns=(
            "id",
            "spent_on",
            "amount_cents",
            "what_for",
            "workshop",
            "paperwork",
            "voided_at",
            *ENTERED,
        ),
        words=("note", "void_reason"),
    ),
    RowKind(
        key="hours",
        title=_("Unpaid hours"),
        model="funding.Hours",
        dated_by="given_on",
        columns=(
            "id",
            "given_on",
            "minutes",
            "doing",
            "volunteer",
            "workshop",
            "rate__cents_per_hour",
            "paperwork",
            "voided_at",
            *ENTERED,
        ),
        words=("note", "void_reason"),
    ),
    RowKind(
        key="filings",
        title=_("Filings"),
        model="filings.Filing",
        dated_by="submitted_at",
        columns=(
            "id",
            "title",
            "first_day_on",
            "last_day_on",
            "cut_off_on",
            "submitted_at",
            "submitted_by__role",
            "factor_set",
            "software_version",
            "restates",
            "reasons",
            "report_sha256",
        ),
    ),
    RowKind(
        key="trail",
        title=_("Audit trail"),
        model="staff.AuditEntry",
        dated_by="timestamp",
        columns=("timestamp", "actor__role", "action", "content_type__model", "changes"),
        words=("reason",),
        names_only=("changes",),
    ),
)
BY_KEY = {kind.key: kind for kind in KINDS}
