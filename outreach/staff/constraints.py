"""Constraints that several apps use, each with the sentence the user reads."""

from typing import TYPE_CHECKING

from django.db import models
from django.db.models import F, Q

if TYPE_CHECKING:
    from django.utils.functional import _StrOrPromise as Sentence


def both_or_neither(first: str, second: str, *, name: str, sentence: "Sentence") -> models.CheckConstraint:
    """Two nullable columns that are filled in, or left empty, together."""
    return models.CheckConstraint(
        condition=Q(**{f"{first}__isnull": True, f"{second}__isnull": True})
        | Q(**{f"{first}__isnull": False, f"{second}__isnull": False}),
        name=name,
        violation_error_message=sentence,
    )


def not_before(later: str, earlier: str, *, name: str, sentence: "Sentence") -> models.CheckConstraint:
    """A later day that, where known, is not before the earlier one."""
    return models.CheckConstraint(
        condition=Q(**{f"{later}__isnull": True}) | Q(**{f"{later}__gte": F(earlier)}),
        name=name,
        violation_error_message=sentence,
    )


def within(field: str, low: int, high: int, *, name: str, sentence: "Sentence") -> models.CheckConstraint:
    """A number that, where known, lies from low to high."""
    return models.CheckConstraint(
        condition=Q(**{f"{field}__isnull": True}) | Q(**{f"{field}__range": (low, high)}),
        name=name,
        violation_error_message=sentence,
    )
