"""The Door of one workshop under the lock, as the folds of its events see it."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from functools import cached_property
from uuid import UUID

from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _

from outreach.bins.models import StockPlace
from outreach.door.letting_in import table_of
from outreach.door.models import Device, DoorEvent, DoorTable, EventOutcome
from outreach.door.prepared import PreparedRecord
from outreach.door.reading import Who
from outreach.households.models import Participant
from outreach.workshops.models import Registration, Workshop


class NotThereYet(Exception):
    """What the event speaks of has not arrived; it is taken up when it does."""


_LOCKED: PreparedRecord[Workshop] = PreparedRecord(
    lambda number: Workshop.objects.select_for_update().filter(pk=number).order_by(), int
)


@dataclass
class Scene:
    """One workshop, held against everyone else until the transaction ends, and the instant of the server."""

    workshop: Workshop
    at: datetime
    # Events of which we looked, in this transaction, and nothing undoes them.
    never_undone: set[UUID] = field(default_factory=set)

    @classmethod
    def of(cls, device: Device, at: datetime) -> "Scene":
        """The workshop of a device, locked; the device knows it as it is now."""
        locked = _LOCKED.one(device.workshop_id)
        if locked is None:
            raise Workshop.DoesNotExist
        device.workshop = locked
        return cls(locked, at)

    @cached_property
    def table(self) -> DoorTable:
        return table_of(self.workshop)

    @property
    def place(self) -> StockPlace:
        return self.table.place

    def told_of(self, people: Iterable[Participant], *kinds: str) -> list[EventOutcome]:
        """What was read of these kinds about these people here, in the order in which it happened."""
        read = EventOutcome.objects.at(self.workshop).of_people(people).of_kinds(*kinds).read()
        return list(read.select_related("event__device").in_order())


def person_of(scene: Scene, who: Who) -> Participant:
    """The person an event is about.

    Raises
    ------
    NotThereYet
        A walk-in whose own event is still to come, or waits for the office.
    """
    return place_of(scene, who)[0]


def place_of(scene: Scene, who: Who) -> tuple[Participant, Registration | None]:
    """The person an event is about, and their place on the list; errors as in `person_of`."""
    if who.participant is not None:
        return _of_the_roster(scene, who.participant)
    known = EventOutcome.objects.at(scene.workshop).walked_in_as([who.person] if who.person else [])
    found = known.read().select_related("participant__household").first()
    if found is None or found.participant is None:
        raise NotThereYet(_("The walk-in it is about has not arrived, or waits itself."))
    return found.participant, place_on_the_list(scene, found.participant)


def _of_the_roster(scene: Scene, number: int) -> tuple[Participant, Registration]:
    """Only people on the list of this workshop: a device knows of no others."""
    here = Registration.objects.at(scene.workshop).filter(participant=number)
    registration = here.select_related("participant").order_by().first()
    if registration is None:
        raise ValidationError(_("Nobody of that number is on the list of this workshop."))
    return registration.participant, registration


def place_on_the_list(scene: Scene, person: Participant) -> Registration | None:
    return Registration.objects.at(scene.workshop).of_person(person).select_related("booking").first()


def undone_among(scene: Scene, outcomes: Sequence[EventOutcome]) -> set[UUID]:
    """The events of these that were undone at the Door."""
    numbers = [one.event_id for one in outcomes if one.event_id not in scene.never_undone]
    if not numbers or not DoorEvent.objects.naming_as_undone(numbers).exists():
        return set()
    events = DoorEvent.objects.that_undo(numbers, scene.workshop.pk)
    return {undoes for undoes in events.order_by().values_list("undoes", flat=True) if undoes}


def split(scene: Scene, outcomes: Sequence[EventOutcome]) -> tuple[list[EventOutcome], list[EventOutcome]]:
    """Those that stand and those that were undone, each in their order."""
    undone = undone_among(scene, outcomes)
    standing = [one for one in outcomes if one.event_id not in undone]
    return standing, [one for one in outcomes if one.event_id in undone]


def keep(outcome: EventOutcome) -> None:
    """Write an outcome, be it new or one that waited."""
    outcome.save(force_insert=outcome._state.adding)


def write(outcomes: Sequence[EventOutcome], **values: object) -> bool:
    """Write these values to the outcomes that differ; say whether any did."""
    differing = [
        one for one in outcomes if any(getattr(one, name) != value for name, value in values.items())
    ]
    for one in differing:
        for name, value in values.items():
            setattr(one, name, value)
        one.save(update_fields=list(values))
    return bool(differing)
