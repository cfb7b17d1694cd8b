"""What happens to places and sign-ups at workshops when two records of one household are merged.

A person has at most one place at a workshop, and merging does not make two persons one, so nothing can
collide: each row is counted under the household that is kept, and set back when the merge is undone.
Two bookings that thereby turn out to be of one household are shown together; a person joins them.
"""

from typing import Any

from django.db.models import Model, Q

from outreach.households.merging import records_of
from outreach.households.models import Household
from outreach.workshops.models import Booking, Registration

# By the name under which a merge remembers which rows it moved.
MOVED: dict[str, type[Model]] = {"registrations": Registration, "bookings": Booking}


class CountRegistrations:
    """Count the registrations and bookings of the absorbed household under the kept one."""

    covers = frozenset(
        {
            "workshops.Registration.household",
            "workshops.Registration.counted_under",
            "workshops.Booking.household",
            "workshops.Booking.counted_under",
        }
    )

    def merge(self, kept: Household, absorbed: Household) -> Any:
        set_now: dict[str, Any] = {"from": absorbed.pk, "to": kept.pk}
        for name, model in MOVED.items():
            moved = model._default_manager.filter(counted_under=absorbed).order_by("pk")
            set_now[name] = list(moved.values_list("pk", flat=True))
            moved.update(counted_under=kept)
        return set_now

    def undo(self, what_was_set: Any) -> None:
        absorbed, kept = what_was_set["from"], what_was_set["to"]
        for name, model in MOVED.items():
            # What was booked for it, or for a record merged into it earlier, while it was merged goes back
            # too. A merge made before there were bookings remembers none.
            since = Q(household__in=records_of(absorbed), counted_under=kept)
            back = Q(pk__in=what_was_set.get(name, [])) | since
            model._default_manager.filter(back).update(counted_under=absorbed)
