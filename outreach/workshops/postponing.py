"""A workshop gets another day, hour or place; everyone on its list is told and keeps the place."""

from dataclasses import dataclass
from datetime import date, datetime, time

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from outreach.places.models import Venue
from outreach.staff import audit
from outreach.staff.models import StaffMember
from outreach.workshops import followers, seats, telling
from outreach.workshops.models import Workshop


@dataclass(frozen=True, slots=True, kw_only=True)
class NewDate:
    """When and where it takes place instead."""

    held_on: date
    starts_at_time: time | None
    ends_at_time: time | None
    venue: Venue


@transaction.atomic
def postpone(*, workshop: Workshop, to: NewDate, reason: str, by: StaffMember, at: datetime) -> Workshop:
    """Move a planned workshop. Days for confirming and closing sign-up move along with it."""
    workshop = seats.locked(workshop)
    _refuse_what_cannot_move(workshop, to, reason, at)
    workshop.postponed_at, workshop.postponed_from_on = at, workshop.held_on
    workshop.postponed_from_venue = workshop.venue
    _shift(workshop, to)
    workshop.held_on, workshop.venue = to.held_on, to.venue
    workshop.starts_at_time, workshop.ends_at_time = to.starts_at_time, to.ends_at_time
    workshop.state_reason, workshop.revision = reason, workshop.revision + 1
    workshop.full_clean()
    with audit.because(reason):
        workshop.save()
    workshop = Workshop.objects.with_names().get(pk=workshop.pk)
    for follower in followers.followers():
        follower.moved(workshop, at)
    telling.postponed(workshop, at)
    return workshop


def _shift(workshop: Workshop, to: NewDate) -> None:
    by = to.held_on - workshop.held_on
    if workshop.confirm_by_on is not None:
        workshop.confirm_by_on += by
    if workshop.sign_up_closes_at is not None:
        workshop.sign_up_closes_at += by


def _refuse_what_cannot_move(workshop: Workshop, to: NewDate, reason: str, at: datetime) -> None:
    if workshop.state != Workshop.State.PLANNED:
        words = _("This workshop is %(state)s, so it cannot be postponed.")
        raise ValidationError(words % {"state": workshop.get_state_display()})
    if to.held_on < timezone.localdate(at):
        raise ValidationError({"held_on": _("The new day is past. Give one that is still to come.")})
    if not reason.strip():
        raise ValidationError({"reason": _("Say why; people are told that it was moved, not why.")})
    before = (workshop.held_on, workshop.starts_at_time, workshop.ends_at_time, workshop.venue_id)
    if before == (to.held_on, to.starts_at_time, to.ends_at_time, to.venue.pk):
        raise ValidationError(_("Day, hours and venue are as they were. Change one of them."))
