"""Holding records back from being forgotten while an audit or a dispute needs them."""

from datetime import date, datetime

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from outreach.households.forgotten_models import ForgettingHold
from outreach.households.models import Household
from outreach.staff.models import StaffMember


@transaction.atomic
def hold(
    *, household: Household, reason: str, until_on: date, by: StaffMember, at: datetime
) -> ForgettingHold:
    """Nobody of this household, or of one it is merged with, is forgotten until that day is over."""
    if until_on < timezone.localdate(at):
        raise ValidationError({"until_on": _("Choose a day that is still to come.")})
    kept = ForgettingHold(household=household, reason=reason, until_on=until_on, set_at=at, set_by=by)
    kept.full_clean()
    kept.save()
    return kept


@transaction.atomic
def release(*, kept: ForgettingHold, by: StaffMember, at: datetime) -> None:
    """The records are no longer needed; released once, it stays so."""
    kept = ForgettingHold.objects.select_for_update().get(pk=kept.pk)
    if kept.released_at is not None:
        raise ValidationError(_("This hold has already been released."))
    kept.released_at, kept.released_by = at, by
    kept.full_clean()
    kept.save()
