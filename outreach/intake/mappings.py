"""Layouts that a person has accepted: the same headings are understood the same way next time."""

from datetime import datetime

from outreach.intake.models import LayoutMapping
from outreach.intake.understanding import Reading
from outreach.staff.models import StaffMember


def remembered_layouts() -> dict[str, tuple[str, ...]]:
    """What the columns of each accepted layout say, by the layout's key."""
    rows = LayoutMapping.objects.values_list("layout_key", "columns")
    return {key: tuple(says) for key, says in rows}


def remember(*, reading: Reading, by: StaffMember | None, at: datetime) -> LayoutMapping | None:
    """Keep how a person accepted the columns; a sheet without headings has no layout to remember."""
    if not reading.layout_key or not reading.kind:
        return None
    says = [column.says for column in reading.columns]
    mapping, _is_new = LayoutMapping.objects.update_or_create(
        layout_key=reading.layout_key,
        defaults={"kind": reading.kind, "columns": says, "accepted_at": at, "accepted_by": by},
    )
    return mapping
