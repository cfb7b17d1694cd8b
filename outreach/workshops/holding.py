"""What becomes of a workshop: held, closed, opened again, cancelled."""

from datetime import date, datetime

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from outreach.staff import audit
from outreach.staff.models import StaffMember
from outreach.workshops import followers, offering, seats, telling
from outreach.workshops.models import Booking, Offer, Registration, Workshop

State = Workshop.State


@transaction.atomic
def mark_held(*, workshop: Workshop, by: StaffMember, at: datetime) -> Workshop:
    """Say that the workshop took place."""
    workshop = seats.locked(workshop)
    _refuse_unless(workshop, State.PLANNED)
    refuse_before_its_day(workshop, timezone.localdate(at))
    return _now(workshop, State.HELD)


@transaction.atomic
def close(*, workshop: Workshop, by: StaffMember, at: datetime) -> Workshop:
    """Finish its list: whoever was booked and did not come has missed it, and nothing changes any more."""
    workshop = seats.locked(workshop)
    _refuse_unless(workshop, State.HELD)
    for registration in Registration.objects.at(workshop).booked():
        registration.state = Registration.State.MISSED
        registration.save(update_fields=["state"])
    seats.count(workshop)
    # Residents are told that what would help them take part is kept until then.
    Booking.objects.at(workshop).update(needs="")
    for follower in followers.followers():
        follower.closed(workshop, by, at)
    telling.thanks(workshop, at)
    return _now(workshop, State.CLOSED)


@transaction.atomic
def reopen(*, workshop: Workshop, reason: str, by: StaffMember, at: datetime) -> Workshop:
    """Open a closed workshop for corrections, or plan a cancelled one again, and say why."""
    workshop = seats.locked(workshop)
    _refuse_unless(workshop, State.CLOSED, State.CANCELLED)
    _refuse_without(reason, _("Say why the workshop is opened again."))
    if workshop.state == State.CLOSED:
        return _now(workshop, State.HELD, reason)
    workshop = _now(workshop, State.PLANNED, reason)
    for follower in followers.followers():
        follower.planned_again(workshop, at)
    return workshop


@transaction.atomic
def cancel(*, workshop: Workshop, reason: str, by: StaffMember, at: datetime) -> Workshop:
    """Call a workshop off and say why; everyone on its list is told, and the list stays."""
    workshop = seats.locked(workshop)
    _refuse_unless(workshop, State.PLANNED, State.HELD)
    _refuse_without(reason, _("Say why the workshop was cancelled."))
    if Registration.objects.at(workshop).who_came().exists():
        raise ValidationError(_("People came to this workshop. Undo their attendance before cancelling it."))
    for offer in Offer.objects.at(workshop).open():
        offering.end(offer, Offer.Outcome.WITHDRAWN, at)
    for follower in followers.followers():
        follower.called_off(workshop, at)
    if timezone.localdate(at) <= workshop.held_on:
        telling.called_off(workshop, at)
    seats.count(workshop)
    return _now(workshop, State.CANCELLED, reason)


@transaction.atomic
def count_unlisted(*, workshop: Workshop, people: int, by: StaffMember, at: datetime) -> Workshop:
    """Write down how many people were in the room who are on no list."""
    workshop = seats.locked(workshop)
    refuse_if_settled(workshop)
    workshop.headcount_unlisted = people
    workshop.full_clean()
    workshop.save(update_fields=["headcount_unlisted"])
    return workshop


def refuse_if_settled(workshop: Workshop) -> None:
    """Nothing changes on the list of a closed or cancelled workshop."""
    if workshop.is_settled:
        raise ValidationError(
            _("This workshop is %(state)s. Open it again, with a reason, to change its list.")
            % {"state": workshop.get_state_display()}
        )


def refuse_before_its_day(workshop: Workshop, today: date) -> None:
    if today < workshop.held_on:
        raise ValidationError(
            _("This workshop is on %(day)s; nobody can have come yet. Correct its date if it was earlier.")
            % {"day": f"{workshop.held_on.day} {workshop.held_on:%B %Y}"}
        )


def held_now(workshop: Workshop, today: date) -> None:
    """Someone came, so a planned workshop has been held."""
    if workshop.state == State.PLANNED:
        refuse_before_its_day(workshop, today)
        _now(workshop, State.HELD)


def _refuse_unless(workshop: Workshop, *states: State) -> None:
    if workshop.state not in states:
        raise ValidationError(
            _("This workshop is already %(state)s.") % {"state": workshop.get_state_display()}
        )


def _refuse_without(reason: str, sentence: str) -> None:
    if not reason.strip():
        raise ValidationError({"reason": sentence})


def _now(workshop: Workshop, state: str, reason: str = "") -> Workshop:
    workshop.state = state
    workshop.state_reason = reason or workshop.state_reason
    workshop.full_clean()
    with audit.because(reason):
        workshop.save(update_fields=["state", "state_reason"])
    return workshop
