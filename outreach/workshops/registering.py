"""One person's place at one workshop: booked or on standby, came, missed, undone."""

from datetime import datetime
from typing import Protocol

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from outreach.households.models import Household, Participant
from outreach.staff.models import StaffMember
from outreach.workshops import giving_back, moving_up, offering, seats, taking_over
from outreach.workshops.holding import held_now, refuse_if_settled
from outreach.workshops.models import Registration, Workshop

State = Registration.State


class Lives(Protocol):
    """Where somebody lives, whatever carries it."""

    @property
    def jurisdiction_id(self) -> int | None: ...
    @property
    def zip_code(self) -> str: ...
    @property
    def city_name(self) -> str: ...


def lives_outside(household: Household | Lives) -> bool:
    """We know where they live, and it is in no jurisdiction of the programme."""
    return household.jurisdiction_id is None and bool(household.zip_code or household.city_name)


@transaction.atomic
def register(
    *, workshop: Workshop, participant: Participant, at: datetime, by: StaffMember, state: str = State.BOOKED
) -> Registration:
    """Put a person on the list: booked while a place is free, else on standby, in order."""
    workshop = seats.locked(workshop)
    refuse_if_settled(workshop)
    registration = place_of(workshop, participant, at)
    registration.state = state
    if state == State.BOOKED and workshop.state == Workshop.State.PLANNED and not seats.are_free(workshop):
        registration.state = State.STANDBY
    if registration.state == State.STANDBY:
        registration.standby_place = seats.next_standby_place(workshop)
    return _settled(workshop, registration, at)


@transaction.atomic
def mark_attended(
    *, registration: Registration, at: datetime, by: StaffMember, waiver_initials: str = ""
) -> Registration:
    """Say that the person came. A planned workshop is thereby held; said twice is once."""
    workshop, registration = _locked(registration)
    if registration.came:
        return registration
    held_now(workshop, timezone.localdate(at))
    _arrive(registration, State.ATTENDED, at)
    registration.waiver_initials = waiver_initials or registration.waiver_initials
    return _settled(workshop, registration, at)


@transaction.atomic
def mark_missed(*, registration: Registration, at: datetime, by: StaffMember) -> Registration:
    """Say that the person had a place and did not come."""
    workshop, registration = _locked(registration)
    held_now(workshop, timezone.localdate(at))
    _did_not_come(registration, State.MISSED)
    return _settled(workshop, registration, at)


@transaction.atomic
def walk_in(*, workshop: Workshop, participant: Participant, at: datetime, by: StaffMember) -> Registration:
    """Record a person who came without a place; one who is on the list already has simply come."""
    workshop = seats.locked(workshop)
    refuse_if_settled(workshop)
    held_now(workshop, timezone.localdate(at))
    known = Registration.objects.at(workshop).of_person(participant).first()
    if known and known.came:
        return known
    on_the_list = known is not None and known.state != State.CANCELLED
    registration = known or fresh(workshop, participant, at)
    _arrive(registration, State.ATTENDED if on_the_list else State.WALK_IN, at)
    return _settled(workshop, registration, at)


@transaction.atomic
def cancel(*, registration: Registration, at: datetime, by: StaffMember) -> Registration:
    """Give a place back; the first on standby moves up."""
    workshop, registration = _locked(registration)
    _did_not_come(registration, State.CANCELLED)
    registration.save(update_fields=["state", "arrived_at", "standby_place", "came_with"])
    offering.withdraw(registration, at)
    giving_back.after_a_person_left(registration, workshop, at)
    return _settled(workshop, registration, at)


@transaction.atomic
def undo(*, registration: Registration, at: datetime, by: StaffMember) -> Registration:
    """Take back 'came' or 'missed': a booked person is booked again, a walk-in was never there."""
    workshop, registration = _locked(registration)
    before = {State.ATTENDED: State.BOOKED, State.MISSED: State.BOOKED, State.WALK_IN: State.CANCELLED}
    registration.state = before.get(State(registration.state), registration.state)
    registration.arrived_at, registration.came_with = None, 0
    return _settled(workshop, registration, at)


@transaction.atomic
def one_more(*, registration: Registration, at: datetime, by: StaffMember) -> Registration:
    """One more came along than was noted, who is on no list."""
    return _came_with(registration, 1)


@transaction.atomic
def one_fewer(*, registration: Registration, at: datetime, by: StaffMember) -> Registration:
    """One fewer came along than was noted."""
    return _came_with(registration, -1)


def _came_with(registration: Registration, change: int) -> Registration:
    _workshop, registration = _locked(registration)
    if not registration.came:
        raise ValidationError(_("Say first that the person came."))
    registration.came_with = max(registration.came_with + change, 0)
    registration.full_clean()
    registration.save(update_fields=["came_with"])
    return registration


def _locked(registration: Registration) -> tuple[Workshop, Registration]:
    """Workshop first, then its row, both as they are now."""
    workshop = seats.locked(registration.workshop)
    refuse_if_settled(workshop)
    return workshop, Registration.objects.with_people().get(pk=registration.pk)


def place_of(workshop: Workshop, participant: Participant, at: datetime) -> Registration:
    """The row of a person who had cancelled and comes back, or a new one."""
    given_back = Registration.objects.at(workshop).of_person(participant).given_back().first()
    if given_back is not None:
        given_back.booking = None
    return given_back or fresh(workshop, participant, at)


def fresh(workshop: Workshop, participant: Participant, at: datetime) -> Registration:
    """A place filled in but not saved."""
    household = participant.household
    return Registration(
        workshop=workshop,
        participant=participant,
        household=household,
        counted_under=household.counted_under,
        registered_at=at,
        is_outside_area=lives_outside(household),
    )


def _arrive(registration: Registration, state: str, at: datetime) -> None:
    """With everyone they were to bring; who counts them says so afterwards."""
    registration.state, registration.arrived_at, registration.standby_place = state, at, None
    registration.came_with = registration.brings


def _did_not_come(registration: Registration, state: str) -> None:
    registration.state, registration.came_with = state, 0
    registration.arrived_at = registration.standby_place = None


def _settled(workshop: Workshop, registration: Registration, at: datetime) -> Registration:
    registration.full_clean()
    registration.save()
    if registration.came:
        taking_over.arrived(registration, at)
    seats.count(workshop)
    moving_up.move_up(workshop, at)
    return registration
