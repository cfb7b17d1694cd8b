"""What happens to places at workshops when two records of one household are merged.

A person has at most one place at a workshop, and merging does not make two persons one, so nothing can
collide: each row is counted under the household that is kept, and set back when the merge is undone.
"""

from typing import Any

from django.db.models import Q

from outreach.households.models import Household
from outreach.workshops.models import Registration


class CountRegistrations:
    """Count the registrations of the absorbed household under the kept one."""

    def merge(self, kept: Household, absorbed: Household) -> Any:
        moved = Registration.objects.order_by("pk").counted_for(absorbed)
        set_now = {
            "from": absorbed.pk,
            "to": kept.pk,
            "registrations": list(moved.values_list("pk", flat=True)),
        }
        moved.update(counted_under=kept)
        return set_now

    def undo(self, what_was_set: Any) -> None:
        absorbed, kept = what_was_set["from"], what_was_set["to"]
        # What was booked under the absorbed household while it was merged goes back with it.
        back = Q(pk__in=what_was_set["registrations"]) | Q(household=absorbed, counted_under=kept)
        Registration.objects.filter(back).update(counted_under=absorbed)
