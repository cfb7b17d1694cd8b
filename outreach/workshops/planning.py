"""Adding a workshop and correcting what was planned."""

from datetime import datetime

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext as _

from outreach.staff.models import StaffMember
from outreach.workshops import moving_up, seats
from outreach.workshops.models import Booking, Workshop

# What a person may correct; state and the number of people booked have actions of their own.
PLANNED_FIELDS = (
    "kind",
    "held_on",
    "starts_at_time",
    "ends_at_time",
    "venue",
    "jurisdiction",
    "language",
    "seats",
    "bins_planned",
    "is_public",
    "sign_up_closes_at",
    "confirm_by_on",
    "bring",
    "bring_es",
    "accessibility",
    "accessibility_es",
    "note",
)
# Where people signed up, these change by postponing, which tells them.
WHEN_AND_WHERE = ("held_on", "starts_at_time", "ends_at_time", "venue_id")


@transaction.atomic
def add(*, workshop: Workshop, by: StaffMember, at: datetime) -> Workshop:
    """Record a new workshop."""
    workshop.full_clean()
    workshop.save(force_insert=True)
    return workshop


@transaction.atomic
def correct(*, workshop: Workshop, by: StaffMember, at: datetime) -> Workshop:
    """Write corrected details of a workshop; more seats let people on standby move up."""
    now = seats.locked(workshop)
    if now.is_settled:
        raise ValidationError(
            _("This workshop is %(state)s. Open it again to correct it.") % {"state": now.get_state_display()}
        )
    moves = any(getattr(now, name) != getattr(workshop, name) for name in WHEN_AND_WHERE)
    if moves and Booking.objects.at(now).standing().exists():
        raise ValidationError(
            _("People signed up for this workshop. Use 'Postpone or move it', so that they are told.")
        )
    now.revision += moves
    for name in PLANNED_FIELDS:
        setattr(now, name, getattr(workshop, name))
    now.full_clean()
    now.save(update_fields=[*PLANNED_FIELDS, "revision"])
    moving_up.move_up(now, at)
    return now
