"""What is taken back stays on record, with who took it back and why."""

from typing import TYPE_CHECKING

from django.db import models
from django.db.models import Q

from outreach.staff.constraints import both_or_neither

if TYPE_CHECKING:
    from django.utils.functional import _StrOrPromise as Sentence


def voided_with_a_reason(kind: str, sentence: "Sentence") -> list[models.CheckConstraint]:
    """The rules of a table with `voided_at`, `voided_by` and `void_reason`."""
    return [
        both_or_neither("voided_at", "voided_by", name=f"{kind}_voided_by_someone", sentence=sentence),
        models.CheckConstraint(
            condition=Q(voided_at__isnull=True) | ~Q(void_reason=""),
            name=f"{kind}_voided_for_a_reason",
            violation_error_message=sentence,
        ),
    ]
