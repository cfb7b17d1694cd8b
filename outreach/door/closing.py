"""Closing a workshop: no-shows, bins against the ledger, money against what was noted, devices still out."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import NamedTuple

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from outreach.bins import ledger
from outreach.bins.models import BinModel
from outreach.door import applying, live
from outreach.door.letting_in import table_of
from outreach.door.models import Closing, Copay, Device
from outreach.staff.models import StaffMember
from outreach.workshops import holding, seats
from outreach.workshops.followers import Follower
from outreach.workshops.models import Registration, Workshop

How = Copay.How


@dataclass(frozen=True, slots=True, kw_only=True)
class Counted:
    """What a person found when the table was packed up."""

    bins: Mapping[BinModel, int] = field(default_factory=dict)
    cash_cents: int = 0
    cheques_cents: int = 0
    difference_explained: str = ""
    devices_reason: str = ""
    materials: str = ""


@transaction.atomic
def close(*, workshop: Workshop, counted: Counted, by: StaffMember, at: datetime) -> Closing:
    """Count the shelf, write down people and money, and finish the list. A difference needs its reason.

    Refused while a device may still hold what happened, unless a reason is given for closing without it.
    """
    workshop = seats.locked(workshop)
    holding.refuse_if_settled(workshop)
    applying.apply_left_over(workshop=workshop, at=at)
    workshop = seats.locked(workshop)
    closing = _written_up(workshop, counted, by, at)
    closing.bins_differ = _count_the_shelf(workshop, counted, by, at)
    closing.full_clean()
    closing.save()
    if workshop.state == Workshop.State.PLANNED:
        holding.mark_held(workshop=workshop, by=by, at=at)
    holding.close(workshop=workshop, by=by, at=at)
    return closing


def noted_cents(workshop: Workshop) -> dict[str, int]:
    """Money that the crew noted, by the way it was taken."""
    taken = Copay.objects.at(workshop).standing().cents_by_way()
    return {how: taken.get(how, 0) for how in (How.CASH, How.CHEQUE)}


class People(NamedTuple):
    """Who was there and who was not: by name; along with them, or on no list; still expected."""

    came: int
    unlisted: int
    missed: int


def people_of(workshop: Workshop) -> People:
    """The people of a workshop as its closing writes them down."""
    here = Registration.objects.at(workshop)
    return People(
        came=here.who_came().count(),
        unlisted=here.along() + workshop.headcount_unlisted,
        missed=here.booked().people(),
    )


def _written_up(workshop: Workshop, counted: Counted, by: StaffMember, at: datetime) -> Closing:
    noted, people = noted_cents(workshop), people_of(workshop)
    return Closing(
        workshop=workshop,
        closed_at=at,
        closed_by=by,
        people_came=people.came,
        people_missed=people.missed,
        people_unlisted=people.unlisted,
        cash_noted_cents=noted[How.CASH],
        cash_found_cents=counted.cash_cents,
        cheques_noted_cents=noted[How.CHEQUE],
        cheques_found_cents=counted.cheques_cents,
        difference_explained=counted.difference_explained.strip(),
        devices_left=len(live.that_may_hold_something(workshop, at)),
        devices_reason=counted.devices_reason.strip(),
        materials=counted.materials.strip(),
    )


def _count_the_shelf(workshop: Workshop, counted: Counted, by: StaffMember, at: datetime) -> bool:
    """Each count is one of the ledger's own; whether any differed from what it said."""
    place, today = table_of(workshop).place, timezone.localdate(at)
    differences = [
        ledger.count(quantity=found, place=place, counted_on=today, by=by, at=at, bin_model=bin_model)
        for bin_model, found in counted.bins.items()
    ]
    return any(difference is not None for difference in differences)


class AskTheDevices(Follower):
    """A workshop that had a Door is closed where its devices are looked at."""

    def closed(self, workshop: Workshop, by: StaffMember | None, at: datetime) -> None:
        if Closing.objects.of(workshop).filter(closed_at=at).exists():
            return
        if Device.objects.of(workshop).exists():
            raise ValidationError(
                _(
                    "This workshop had a Door. Close it there, where its devices, bins and money are looked at."
                )
            )
