"""What help tells of a household: when it asked and was answered; while a request is open, it is needed."""

from collections.abc import Collection
from datetime import date

from outreach.coaching.models import HelpRequest
from outreach.households.last_contact import Latest

HELPED = Latest(
    "coaching.HelpRequest", of="counted_under", days=["advised_on"], instants=["opened_at", "closed_at"]
)


def still_open(roots: Collection[int], on: date) -> dict[int, date]:
    """Households whose request is not closed: as if they had asked today."""
    rows = HelpRequest.objects.counted_for_any(roots).not_closed()
    return dict.fromkeys(rows.values_list("counted_under", flat=True), on)
