"""Which columns stand on the row sheets of a filing; what leads to a person, only where contact data may be seen."""

from dataclasses import dataclass

from django.apps import apps
from django.db.models import Model

from outreach.staff import privacy


@dataclass(frozen=True, slots=True, kw_only=True)
class RowSheet:
    """One sheet: the model behind its rows, the field that dates a row, and where its jurisdiction stands.

    `jurisdiction` is empty where a row belongs to no jurisdiction. `columns` are fields, or fields of what a row
    points at, after two underscores.
    """

    title: str
    model: str
    dated_by: str
    jurisdiction: str
    columns: tuple[str, ...]

    @property
    def of(self) -> type[Model]:
        return apps.get_model(self.model)

    def columns_for(self, *, with_contact_data: bool) -> tuple[str, ...]:
        return tuple(one for one in self.columns if with_contact_data or not is_personal(self.of, one))


def is_personal(model: type[Model], column: str) -> bool:
    """Whether the register of fields classes the column, wherever it stands, as personal."""
    first, _, rest = column.partition("__")
    if first in privacy.classes_of(model).personal:
        return True
    target = model._meta.get_field(first).related_model
    return bool(rest) and isinstance(target, type) and is_personal(target, rest)


PERSON = (
    "participant__full_name",
    "participant__email",
    "participant__phone",
    "household__street",
    "household__unit",
)
ROW_SHEETS = (
    RowSheet(
        title="Answers",
        model="followup.Answer",
        dated_by="answered_on",
        jurisdiction="counted_under__jurisdiction",
        columns=(
            "id",
            "counted_under",
            *PERSON,
            "household__zip_code",
            "counted_under__district__name",
            "answered_on",
            "received_on",
            "channel",
            "composting",
            "stopped_on",
            "why_stopped",
            "food_as_written",
            "food_ml_per_week",
            "food_g_per_week",
            "yard_as_written",
            "yard_ml_per_week",
            "yard_g_per_week",
            "browns_ml_per_week",
            "food_trash_percent",
            "food_composted_percent",
            "yard_trash_percent",
            "yard_composted_percent",
            "problems",
            "harvested",
            "remarks",
            "is_current",
        ),
    ),
    RowSheet(
        title="Handouts",
        model="bins.Handout",
        dated_by="handed_on",
        jurisdiction="counted_under__jurisdiction",
        columns=(
            "id",
            "counted_under",
            *PERSON,
            "household__zip_code",
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
            "note",
        ),
    ),
    RowSheet(
        title="Workshops",
        model="workshops.Workshop",
        dated_by="held_on",
        jurisdiction="jurisdiction",
        columns=(
            "id",
            "held_on",
            "venue__name",
            "jurisdiction__name",
            "kind",
            "state",
            "language",
            "seats",
            "booked_people",
            "bins_planned",
            "headcount_unlisted",
            "note",
        ),
    ),
    RowSheet(
        title="Stock",
        model="bins.StockMovement",
        dated_by="moved_on",
        jurisdiction="",
        columns=(
            "id",
            "moved_on",
            "bin_model__name",
            "quantity",
            "from_place__name",
            "to_place__name",
            "why",
            "lot",
            "note",
        ),
    ),
    RowSheet(
        title="Costs",
        model="funding.Cost",
        dated_by="spent_on",
        jurisdiction="",
        columns=("id", "spent_on", "amount_cents", "what_for", "workshop", "paperwork", "note"),
    ),
)
