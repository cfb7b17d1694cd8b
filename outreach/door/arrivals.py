"""Who came, folded from everything the Door says of a person: the earliest arrival that stands."""

from datetime import datetime
from typing import Any, cast

from outreach.door.models import EventOutcome
from outreach.door.models.events import ARRIVALS
from outreach.door.prepared import Prepared
from outreach.door.reading import Arrived
from outreach.door.scenes import Scene, keep, place_of, place_on_the_list, split, write
from outreach.households.models import Participant
from outreach.workshops import seats, taking_over
from outreach.workshops.attendance import record_arrival
from outreach.workshops.models import Booking, Registration

State = EventOutcome.State
NOBODY = {"state": "none"}
# Paper or the desk said that they came before the Door did.
CAME = "came"


# Of a place on the list: whether the Door said anything of it yet.
_OF_PLACE = Prepared(lambda number: EventOutcome.objects.of_place(number).values_list("pk")[:1], int)


def settle(scene: Scene, outcome: EventOutcome, fact: Arrived) -> None:
    person, registration = place_of(scene, fact.who)
    arrive(scene, outcome, person, registration)


def arrive(
    scene: Scene, outcome: EventOutcome, person: Participant, registration: Registration | None
) -> None:
    """Note an arrival of this person; the first word of the Door remembers how their place stood before."""
    outcome.participant = person
    is_first = registration is None or not _OF_PLACE.rows(registration.pk)
    told = [] if is_first else scene.told_of([person], *ARRIVALS)
    if all(one.before is None for one in told):
        outcome.before = _as_it_stands(registration)
    told = sorted([*(one for one in told if one.pk != outcome.pk), outcome], key=_in_turn)
    if _before(told)["state"] != CAME and (registration is None or not registration.came):
        outcome.beyond = _along(outcome)
        registration = _came(scene, person, registration, outcome)
    outcome.registration = registration
    keep(outcome)
    _fold(scene, told, registration)


def fold(scene: Scene, person: Participant) -> None:
    """Bring the person's place on the list to what the arrivals say; paper and the desk are left alone."""
    _fold(scene, scene.told_of([person], *ARRIVALS), place_on_the_list(scene, person))


def _fold(scene: Scene, outcomes: list[EventOutcome], registration: Registration | None) -> None:
    before, noted = _before(outcomes), sum(one.beyond for one in outcomes)
    standing, undone = split(scene, outcomes)
    came_otherwise = before["state"] == CAME
    _count_along(standing, undone)
    if came_otherwise or _is_of_the_door(registration, outcomes):
        _write_along(registration, standing, noted, before)
    if not came_otherwise:
        _say_when(registration, standing or outcomes, outcomes)
        if not standing:
            _set_back(scene, registration, before, outcomes)
    write(standing, state=State.KNOWN if came_otherwise else State.APPLIED)
    write(undone, state=State.UNDONE)
    write(outcomes, registration_id=registration.pk if registration else None)


def _in_turn(outcome: EventOutcome) -> tuple[object, object]:
    return outcome.event.corrected_at, outcome.event_id


def _before(outcomes: list[EventOutcome]) -> dict[str, Any]:
    return next((one.before for one in outcomes if one.before is not None), NOBODY)


def _as_it_stands(registration: Registration | None) -> dict[str, Any]:
    if registration is None:
        return NOBODY
    if registration.came:
        return {"state": CAME, "came_with": registration.came_with}
    booking = registration.booking
    return {
        "state": registration.state,
        "standby_place": registration.standby_place,
        "booking": booking and [booking.state, booking.standby_place],
    }


def _came(scene: Scene, person: Participant, known: Registration | None, new: EventOutcome) -> Registration:
    """Also for an arrival that was undone before it got here: it is taken back right afterwards."""
    registration = record_arrival(
        workshop=scene.workshop,
        participant=person,
        known=known,
        arrived_at=cast(datetime, new.event.corrected_at),
        along=new.beyond,
        at=scene.at,
    )
    if registration.booking_id is not None:
        taking_over.arrived(registration, scene.at)
    return registration


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
    registration.arrived_at, registration.came_with = None, 0
    if registration.state == Registration.State.STANDBY:
        registration.standby_place = _line(scene, registration, before["standby_place"])
    registration.full_clean()
    registration.save(update_fields=["state", "arrived_at", "came_with", "standby_place"])
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


def _count_along(standing: list[EventOutcome], undone: list[EventOutcome]) -> None:
    """The first arrival that stands says with how many people they came; the others say it again."""
    write(standing[:1], beyond=_along(standing[0]) if standing else 0)
    write([*standing[1:], *undone], beyond=0)


def _write_along(
    registration: Registration | None, standing: list[EventOutcome], noted: int, before: dict[str, Any]
) -> None:
    """Who came along, as the Door counted them; what paper said goes before nothing else, and a number that a
    person wrote since stays."""
    if registration is None or not (standing or before["state"] == CAME):
        return
    on_paper = before.get("came_with", 0)
    along = standing[0].beyond if standing else on_paper
    theirs = {noted, on_paper} if before["state"] == CAME else {noted}
    if registration.came_with in theirs and registration.came_with != along:
        registration.came_with = along
        registration.full_clean()
        registration.save(update_fields=["came_with"])


def _along(outcome: EventOutcome) -> int:
    return int(outcome.event.body.get("party") or 1) - 1
