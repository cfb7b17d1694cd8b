"""What bins tell of a household: when one went out or came back, when its use ended, and whose is in use."""

from collections.abc import Collection
from datetime import date

from django.db.models import Max

from outreach.bins.models import Stay
from outreach.bins.models.handouts import NO_END_DAY
from outreach.households.last_contact import Latest

HANDED = Latest("bins.Handout", of="counted_under", days=["handed_on", "returned_on"])
PROMISED = Latest(
    "bins.Promise", of="counted_under", days=["promised_for_on"], instants=["made_at", "kept_until"]
)


def use_ended(roots: Collection[int], on: date) -> dict[int, date]:
    """The last day of use of each household, of stays that have ended."""
    ended = Stay.objects.filter(counted_under__in=roots, until_day__lt=NO_END_DAY).order_by()
    rows = ended.values_list("counted_under").annotate(Max("until_day"))
    return {root: date.fromordinal(day) for root, day in rows}


def in_use(roots: Collection[int], on: date) -> set[int]:
    """Households with a bin in use that day."""
    day = on.toordinal()
    open_ones = Stay.objects.filter(counted_under__in=roots, from_day__lte=day, until_day__gt=day)
    return set(open_ones.values_list("counted_under", flat=True))
