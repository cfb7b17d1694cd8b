"""What help empties when people are forgotten; that it was asked for, and what came of it, stays."""

from datetime import date
from typing import Any

from django.db.models import Q

from outreach.coaching.models import Complaint, HelpRequest, HelpStep, Visit
from outreach.households.forgetting_rows import Rows, emptied, rewrite
from outreach.staff.audit import MASK

OF_PEOPLE = ["help_request__participant"]
OF_HOMES = ["help_request__household", "help_request__counted_under"]

HANDLERS = {
    "help requests": Rows(
        "coaching.HelpRequest",
        empties=["own_words", "written_name", "written_address", "email", "phone", "outcome_note"],
        of_people=["participant"],
        of_homes=["household", "counted_under"],
    ),
    "complaints": Rows(
        "coaching.Complaint",
        empties=["case_number", "ordered_action"],
        of_people=OF_PEOPLE,
        of_homes=OF_HOMES,
    ),
    "help steps": Rows("coaching.HelpStep", empties=["words"], of_people=OF_PEOPLE, of_homes=OF_HOMES),
    "visits": Rows(
        "coaching.Visit",
        empties=["seen", "done"],
        masks=["visited_by"],
        of_people=OF_PEOPLE,
        of_homes=OF_HOMES,
    ),
}

CONTACT = ("own_words", "written_name", "written_address", "email", "phone", "outcome_note")


def empty_without_household(over_by: date, only_looks: bool) -> int:
    """Empty closed requests of which nobody knows the household; how many they are."""
    told = Q()
    for name in CONTACT:
        told |= ~Q(**{f"{name}__in": ("", MASK)})
    rows = HelpRequest.objects.closed_without_household(over_by).filter(told)
    numbers = list(rows.values_list("pk", flat=True))
    if not only_looks:
        _empty(numbers)
    return len(numbers)


def _empty(numbers: list[int]) -> None:
    rewrite(HelpRequest.objects.filter(pk__in=numbers), CONTACT, emptied)
    theirs: dict[str, Any] = {"help_request__in": numbers}
    rewrite(HelpStep.objects.filter(**theirs), ["words"], emptied)
    rewrite(Visit.objects.filter(**theirs), ["seen", "done"], emptied)
    rewrite(Complaint.objects.filter(**theirs), ["case_number", "ordered_action"], emptied)
