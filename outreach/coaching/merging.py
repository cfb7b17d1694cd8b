"""What happens to help requests when two records of one household are merged: they count under the one kept."""

from typing import Any

from outreach.coaching.models import HelpRequest
from outreach.households.merging import records_of
from outreach.households.models import Household


class CountHelp:
    """Count the help requests of the absorbed household under the kept one; undoing gives them back,
    with those that were recorded meanwhile for the household that stands alone again."""

    covers = frozenset({"coaching.HelpRequest.household", "coaching.HelpRequest.counted_under"})

    def merge(self, kept: Household, absorbed: Household) -> Any:
        moved = HelpRequest.objects.filter(counted_under=absorbed)
        numbers = sorted(moved.values_list("pk", flat=True))
        moved.update(counted_under=kept)
        return {"from": absorbed.pk, "to": kept.pk, "requests": numbers}

    def undo(self, what_was_set: Any) -> None:
        since = HelpRequest.objects.filter(
            counted_under=what_was_set["to"], household__in=records_of(what_was_set["from"])
        )
        numbers = {*what_was_set["requests"], *since.values_list("pk", flat=True)}
        HelpRequest.objects.filter(pk__in=numbers).update(counted_under=what_was_set["from"])
