"""How many workshops, people and households in a period, each person and household once; all in SQL."""

from dataclasses import dataclass
from datetime import date

from django.db.models import Count, F, IntegerField, Q, QuerySet, Sum
from django.db.models.functions import Coalesce

from outreach.places.models import Jurisdiction
from outreach.workshops.models import Registration, RegistrationQuerySet, Workshop

# A person met in two households is linked by hand to the one they are counted under, one step deep.
PERSON = Coalesce("participant__same_person_as", "participant")


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkshopCounts:
    """What a period's workshops came to.

    `attendances` counts a person at each workshop they came to; `people` and `households` count each
    once in the whole period. `unlisted` people were in the room without a name on a list, along with somebody or
    not, and are in none of the others.
    """

    workshops: int = 0
    attendances: int = 0
    people: int = 0
    households: int = 0
    outside_area: int = 0
    unlisted: int = 0


def attendances_between(first_day: date, last_day: date) -> RegistrationQuerySet:
    """Registrations of people who came to workshops held on these days, both included."""
    return Registration.objects.who_came().of_workshops_held_between(first_day, last_day)


def counts_between(
    first_day: date, last_day: date, *, jurisdiction: Jurisdiction | None = None
) -> WorkshopCounts:
    """Counts of the workshops of one jurisdiction, or of all; people are counted where they came."""
    workshops = Workshop.objects.held_between(first_day, last_day).took_place()
    came = attendances_between(first_day, last_day)
    if jurisdiction is not None:
        workshops, came = workshops.of_jurisdiction(jurisdiction), came.at_workshops_of(jurisdiction)
    return _together(workshops.aggregate(**HELD) | came.aggregate(**CAME))


def counts_by_jurisdiction(first_day: date, last_day: date) -> dict[int, WorkshopCounts]:
    """The same by the jurisdiction of the workshop; people who came in two are in both."""
    held = Workshop.objects.held_between(first_day, last_day).took_place().order_by()
    came = attendances_between(first_day, last_day).order_by()
    parts: dict[int, dict[str, int]] = {}
    for row in held.values(place=F("jurisdiction")).annotate(**HELD):
        parts[row.pop("place")] = row
    for row in came.values(place=F("workshop__jurisdiction")).annotate(**CAME):
        parts.setdefault(row.pop("place"), {}).update(row)
    return {place: _together(numbers) for place, numbers in parts.items()}


def people_between(first_day: date, last_day: date) -> "QuerySet[Registration, dict[str, int]]":
    """The number of each person who came, once, under whom they are counted."""
    return (
        attendances_between(first_day, last_day)
        .order_by()
        .annotate(person=PERSON)
        .values("person")
        .distinct()
    )


HELD = {
    "workshops": Count("pk"),
    "counted": Coalesce(Sum("headcount_unlisted"), 0, output_field=IntegerField()),
}
CAME = {
    "attendances": Count("pk"),
    "people": Count(PERSON, distinct=True),
    "households": Count("counted_under", distinct=True),
    "outside_area": Count("pk", filter=Q(is_outside_area=True)),
    "along": Coalesce(Sum("came_with"), 0, output_field=IntegerField()),
}


def _together(numbers: dict[str, int]) -> WorkshopCounts:
    """Whoever came along and whoever was counted in the room are on no list alike."""
    unlisted = numbers.pop("counted", 0) + numbers.pop("along", 0)
    return WorkshopCounts(unlisted=unlisted, **numbers)
