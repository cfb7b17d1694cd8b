"""Adding a workshop and correcting what was planned."""

from datetime import datetime

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext as _

from outreach.staff.models import StaffMember
from outreach.workshops import seats
from outreach.workshops.models import Workshop

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
    "note",
)


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
    for name in PLANNED_FIELDS:
        setattr(now, name, getattr(workshop, name))
    now.full_clean()
    now.save(update_fields=PLANNED_FIELDS)
    seats.move_up(now)
    return now
