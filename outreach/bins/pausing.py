"""A household stops or pauses, as known from outside the waves; its stays follow at once."""

from dataclasses import dataclass
from datetime import date, datetime

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext as _

from outreach.bins import stays
from outreach.bins.models import Pause
from outreach.households.models import Household
from outreach.staff.models import StaffMember


@dataclass(frozen=True, slots=True, kw_only=True)
class Act:
    """Who records it, and when."""

    by: StaffMember
    at: datetime


@transaction.atomic
def pause(
    *,
    household: Household,
    from_on: date,
    until_on: date | None,
    known_from: str,
    act: Act,
    note: str = "",
) -> Pause:
    """Record that the bin is not in use from a day, until another or until further notice."""
    household = _locked(household.pk)
    if not stays.spans_of([household.counted_under.pk])[household.counted_under.pk]:
        raise ValidationError(_("No bin has been in use here, so there is no use to end."))
    made = Pause(
        household=household,
        counted_under=household.counted_under,
        from_on=from_on,
        until_on=until_on,
        known_from=known_from,
        note=note,
        entered_at=act.at,
        entered_by=act.by,
    )
    made.full_clean()
    made.save()
    stays.rebuild([household])
    return made


@transaction.atomic
def resume(*, pause: Pause, on: date) -> Pause:
    """Record that the bin is in use again from a day."""
    locked = _standing(pause)
    locked.until_on = on
    locked.full_clean()
    locked.save(update_fields=["until_on"])
    stays.rebuild([locked.household])
    return locked


@transaction.atomic
def withdraw(*, pause: Pause, act: Act) -> Pause:
    """Take back a pause that was recorded by mistake; the days count as days of use again."""
    locked = _standing(pause)
    locked.withdrawn_at, locked.withdrawn_by = act.at, act.by
    locked.full_clean()
    locked.save(update_fields=["withdrawn_at", "withdrawn_by"])
    stays.rebuild([locked.household])
    return locked


def _locked(household_id: int) -> Household:
    return Household.objects.select_for_update(of=("self",)).get(pk=household_id)


def _standing(pause: Pause) -> Pause:
    _locked(pause.household_id)
    locked = Pause.objects.select_related("household").get(pk=pause.pk)
    if locked.withdrawn_at is not None:
        raise ValidationError(_("This pause was withdrawn. Record a new one."))
    return locked
