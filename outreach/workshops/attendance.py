"""Many attendances at once, as sign-in sheets bring them."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import NamedTuple

from outreach.households.models import Household, Participant
from outreach.staff import many_rows
from outreach.staff.models import StaffMember
from outreach.workshops import taking_over
from outreach.workshops.models import Registration, Workshop
from outreach.workshops.registering import fresh, lives_outside
from outreach.workshops.roots import roots_of

CHANGES = ("state", "standby_place", "arrived_at", "came_with", "sheet_line", "waiver_initials", "note")


class WorkshopWasCancelled(Exception):
    """A sheet says that people came to a workshop that is recorded as cancelled."""

    def __init__(self, workshop: Workshop) -> None:
        self.workshop = workshop
        super().__init__(
            f"People came to {workshop}, which is recorded as cancelled. Open it again on its page, then "
            f"take the sheet in."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class AttendanceRow:
    """One person who came to one workshop, as a sheet says it."""

    workshop: Workshop
    participant: Participant
    arrived_at: datetime | None = None
    waiver_initials: str = ""
    note: str = ""
    # With the others who have no row; None where the sheet does not say: then as they were signed up.
    people: int | None = None
    # The blank line of the printed sheet on which they wrote themselves down.
    sheet_line: int | None = None


@dataclass(frozen=True, slots=True)
class RecordedAttendance:
    """The registration of a row, and whether it already said that the person came."""

    registration: Registration
    was_known: bool


class Dwelling(NamedTuple):
    """What an attendance takes of a household."""

    pk: int
    jurisdiction_id: int | None
    zip_code: str
    city_name: str


def record_attendances(
    rows: Sequence[AttendanceRow], *, by: StaffMember | None, at: datetime
) -> list[RecordedAttendance]:
    """Record that these people came, one result per row in the same order.

    Runs inside the caller's transaction, in a fixed number of statements, and a few more for each who had signed
    up. Whoever was on the list has attended, others are walk-ins, and a person who is twice in `rows` or already
    came is recorded once.
    Planned workshops are held thereby; a closed one takes paperwork that turns up later.

    Raises
    ------
    WorkshopWasCancelled
        Nothing has been written then.
    """
    workshops = _workshops_of(rows)
    known = _already_on_lists(rows)
    dwellings = _dwellings_of(rows)
    roots = roots_of(dwellings)
    lines = {(one.workshop_id, one.sheet_line) for one in known.values()}
    results, to_write = [], []
    for row in rows:
        key = (row.workshop.pk, row.participant.pk)
        was_known = key in known and known[key].came
        if not was_known:
            before = known.get(key)
            known[key] = before or _fresh(row, dwellings[row.participant.household_id], roots, at)
            _arrive(known[key], row, was_on_list=before is not None)
        if _takes_its_line(known[key], row, lines) or not was_known:
            to_write.append(known[key])
        results.append(RecordedAttendance(known[key], was_known))
    _write(to_write, workshops)
    _take_over([one.registration for one in results if not one.was_known], at)
    _hold(workshops)
    return results


def record_arrival(
    *,
    workshop: Workshop,
    participant: Participant,
    known: Registration | None,
    arrived_at: datetime,
    along: int,
    at: datetime,
) -> Registration:
    """Record that one person came; `known` is their place on the list as it is now, if they have one;
    `along` are those on no list who came with them.

    Runs inside the caller's transaction with the workshop locked and open, in few statements.
    """
    before = known.state if known is not None else Registration.State.CANCELLED
    registration = known or fresh(workshop, participant, at)
    kept_a_place = before != Registration.State.CANCELLED
    registration.state = Registration.State.ATTENDED if kept_a_place else Registration.State.WALK_IN
    registration.standby_place, registration.arrived_at = None, arrived_at
    registration.came_with = along
    if registration.pk is None:
        Registration.objects.bulk_create([registration])
    else:
        many_rows.update_records([registration], ("state", "standby_place", "arrived_at", "came_with"))
    these = Workshop.objects.of_ids([workshop.pk])
    if workshop.state == Workshop.State.PLANNED:
        these.planned().update(state=Workshop.State.HELD)
        workshop.state = Workshop.State.HELD
    if before not in Registration.HOLDS_A_SEAT:
        these.recount()
    return registration


def _workshops_of(rows: Sequence[AttendanceRow]) -> list[Workshop]:
    ids = sorted({row.workshop.pk for row in rows})
    workshops = list(Workshop.objects.select_for_update().order_by("pk").of_ids(ids))
    for workshop in workshops:
        if workshop.state == Workshop.State.CANCELLED:
            raise WorkshopWasCancelled(workshop)
    return workshops


def _already_on_lists(rows: Sequence[AttendanceRow]) -> dict[tuple[int, int], Registration]:
    listed = Registration.objects.order_by().at_any_of({row.workshop.pk for row in rows})
    found = listed.select_related("booking")
    return {(one.workshop_id, one.participant_id): one for one in found}


def _dwellings_of(rows: Sequence[AttendanceRow]) -> dict[int, Dwelling]:
    households = Household.objects.order_by().numbered({row.participant.household_id for row in rows})
    return {found[0]: Dwelling(*found) for found in households.values_list(*Dwelling._fields)}


def _fresh(row: AttendanceRow, dwelling: Dwelling, roots: dict[int, int], at: datetime) -> Registration:
    """By numbers, not by objects: setting thousands of relations takes longer than writing the rows."""
    return Registration(
        workshop_id=row.workshop.pk,
        participant_id=row.participant.pk,
        household_id=dwelling.pk,
        counted_under_id=roots[dwelling.pk],
        registered_at=at,
        is_outside_area=lives_outside(dwelling),
    )


def _takes_its_line(
    registration: Registration, row: AttendanceRow, taken: set[tuple[int, int | None]]
) -> bool:
    """Note the line of the sheet, once; on a second sheet that was printed the same line is somebody else's."""
    line = (row.workshop.pk, row.sheet_line)
    if row.sheet_line is None or registration.sheet_line is not None or line in taken:
        return False
    taken.add(line)
    registration.sheet_line = row.sheet_line
    return True


def _arrive(registration: Registration, row: AttendanceRow, *, was_on_list: bool) -> None:
    kept_a_place = was_on_list and registration.state != Registration.State.CANCELLED
    registration.state = Registration.State.ATTENDED if kept_a_place else Registration.State.WALK_IN
    registration.standby_place = None
    registration.arrived_at = row.arrived_at
    registration.came_with = registration.brings if row.people is None else row.people - 1
    registration.waiver_initials = row.waiver_initials or registration.waiver_initials
    registration.note = row.note or registration.note


def _write(registrations: list[Registration], workshops: list[Workshop]) -> None:
    among = Registration.objects.at_any_of(workshop.pk for workshop in workshops)
    many_rows.update_records([one for one in registrations if one.pk is not None], CHANGES)
    many_rows.insert_records([one for one in registrations if one.pk is None], among=among)


def _take_over(arrived: list[Registration], at: datetime) -> None:
    """What people said when they signed up becomes part of the record, as it does at the desk and the Door."""
    for one in arrived:
        if one.booking_id is not None:
            taking_over.arrived(one, at)


def _hold(workshops: list[Workshop]) -> None:
    """Planned ones have been held; every one counts its people again."""
    these = Workshop.objects.of_ids([workshop.pk for workshop in workshops])
    these.planned().update(state=Workshop.State.HELD)
    these.recount()
