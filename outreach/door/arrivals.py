"""Who came, folded from everything the Door says of a person: the earliest arrival that stands."""

from typing import Any

from outreach.door import headcounts
from outreach.door.models import EventOutcome
from outreach.door.models.events import ARRIVALS
from outreach.door.reading import Arrived
from outreach.door.scenes import Scene, person_of, split, write
from outreach.households.models import Participant
from outreach.workshops import registering, seats
from outreach.workshops.models import Booking, Registration

State = EventOutcome.State
NOBODY = {"state": "none"}
CAME_OTHERWISE = {"state": "came"}


def settle(scene: Scene, outcome: EventOutcome, fact: Arrived) -> None:
    outcome.participant = person_of(scene, fact.who)
    outcome.save(update_fields=["participant"])
    fold(scene, outcome.participant, outcome)


def fold(scene: Scene, person: Participant, new: EventOutcome | None = None) -> None:
    """Bring the person's place on the list to what the arrivals say; paper and the desk are left alone."""
    outcomes = scene.told_of([person], *ARRIVALS)
    if new is not None:
        _remember(scene, person, outcomes, new)
    before = next((one.before for one in outcomes if one.before is not None), NOBODY)
    standing, undone = split(outcomes)
    registration = _place(scene, person)
    if before != CAME_OTHERWISE:
        if new is not None and (registration is None or not registration.came):
            registration = _arrive(scene, person, new)
        _say_when(registration, standing or outcomes, outcomes)
        if not standing:
            _set_back(scene, registration, before, outcomes)
    write(standing, state=State.KNOWN if before == CAME_OTHERWISE else State.APPLIED)
    write(undone, state=State.UNDONE)
    write(outcomes, registration=registration)
    _count_the_party(scene, standing, undone)


def _remember(scene: Scene, person: Participant, outcomes: list[EventOutcome], new: EventOutcome) -> None:
    """How the place stood before the first word of the Door about it."""
    if any(one.before is not None for one in outcomes):
        return
    own = next(one for one in outcomes if one.pk == new.pk)
    own.before = _as_it_stands(_place(scene, person))
    own.save(update_fields=["before"])


def _place(scene: Scene, person: Participant) -> Registration | None:
    return Registration.objects.at(scene.workshop).of_person(person).select_related("booking").first()


def _as_it_stands(registration: Registration | None) -> dict[str, Any]:
    if registration is None:
        return NOBODY
    if registration.came:
        return CAME_OTHERWISE
    booking = registration.booking
    return {
        "state": registration.state,
        "standby_place": registration.standby_place,
        "booking": booking and [booking.state, booking.standby_place],
    }


def _arrive(scene: Scene, person: Participant, new: EventOutcome) -> Registration:
    """Also for an arrival that was undone before it got here: it is taken back right afterwards."""
    by = new.event.device.answerable
    arrived = registering.walk_in(workshop=scene.workshop, participant=person, at=scene.at, by=by)
    arrived.arrived_at = new.event.corrected_at
    arrived.save(update_fields=["arrived_at"])
    return arrived


def _is_of_the_door(registration: Registration | None, outcomes: list[EventOutcome]) -> bool:
    """It says what the Door wrote: whom a person put otherwise since stays so."""
    instants = {one.event.corrected_at for one in outcomes}
    return registration is not None and registration.came and registration.arrived_at in instants


def _say_when(
    registration: Registration | None, first: list[EventOutcome], outcomes: list[EventOutcome]
) -> None:
    since = first[0].event.corrected_at
    if (
        registration is None
        or not _is_of_the_door(registration, outcomes)
        or registration.arrived_at == since
    ):
        return
    registration.arrived_at = since
    registration.save(update_fields=["arrived_at"])


def _set_back(
    scene: Scene, registration: Registration | None, before: dict[str, Any], outcomes: list[EventOutcome]
) -> None:
    """Every arrival was undone: the place stands as it did before the Door."""
    if registration is None or not _is_of_the_door(registration, outcomes):
        return
    registration.state = Registration.State.CANCELLED if before == NOBODY else before["state"]
    registration.arrived_at = None
    if registration.state == Registration.State.STANDBY:
        registration.standby_place = _line(scene, registration, before["standby_place"])
    registration.full_clean()
    registration.save(update_fields=["state", "arrived_at", "standby_place"])
    if before.get("booking") and registration.booking is not None:
        _set_back_the_booking(scene, registration.booking, *before["booking"])
    seats.count(scene.workshop)


def _set_back_the_booking(scene: Scene, booking: Booking, state: str, place: int | None) -> None:
    if booking.state == state:
        return
    taken = (
        place is not None
        and Booking.objects.at(scene.workshop).on_standby().filter(standby_place=place).exists()
    )
    booking.state, booking.standby_place = state, seats.next_standby_place(scene.workshop) if taken else place
    booking.full_clean()
    booking.save(update_fields=["state", "standby_place"])


def _line(scene: Scene, registration: Registration, place: int) -> int:
    """Their own place in line, unless somebody has it by now."""
    others = Registration.objects.at(scene.workshop).on_standby().exclude(pk=registration.pk)
    taken = others.filter(standby_place=place).exists()
    return seats.next_standby_place(scene.workshop) if taken else place


def _count_the_party(scene: Scene, standing: list[EventOutcome], undone: list[EventOutcome]) -> None:
    """The first arrival that stands says with how many people they came; the others say it again."""
    write(standing[:1], beyond=_party(standing[0]) - 1 if standing else 0)
    write([*standing[1:], *undone], beyond=0)
    headcounts.fold(scene)


def _party(outcome: EventOutcome) -> int:
    return outcome.event.body.get("party") or 1
