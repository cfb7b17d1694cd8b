"""Recording unpaid hours given in kind, correcting them, taking them back; and what an hour is worth."""

from collections.abc import Mapping
from datetime import date, datetime

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from outreach.funding import sharing
from outreach.funding.models import FundingSource, HourRate, Hours, HoursShare
from outreach.funding.spending import refuse_elsewhere
from outreach.staff import audit
from outreach.staff.models import StaffMember

Shares = Mapping[FundingSource, int]


@transaction.atomic
def record_hours(*, hours: Hours, shares: Shares, by: StaffMember, at: datetime) -> Hours:
    """Record hours at the rate of their day, with the minutes that are match for each source, or for none."""
    hours.entered_by, hours.entered_at = by, at
    _write(hours, shares, at)
    return hours


@transaction.atomic
def correct_hours(*, hours: Hours, shares: Shares, reason: str, at: datetime) -> Hours:
    """Write corrected hours and their shares; the rate is that of the corrected day."""
    _still_standing(hours)
    with audit.because(reason):
        _write(hours, shares, at)
    return hours


@transaction.atomic
def void_hours(*, hours: Hours, reason: str, by: StaffMember, at: datetime) -> Hours:
    """Say that hours were not given: they stay on record and count nowhere."""
    hours = _still_standing(hours)
    hours.voided_at, hours.voided_by, hours.void_reason = at, by, reason.strip()
    hours.full_clean()
    hours.save(update_fields=["voided_at", "voided_by", "void_reason"])
    return hours


def add_rate(*, rate: HourRate, by: StaffMember, at: datetime) -> HourRate:
    """From its day on hours are worth so much; hours on record keep the rate that they were entered at."""
    rate.entered_by, rate.entered_at = by, at
    rate.full_clean()
    rate.save()
    return rate


def rate_on(day: date) -> HourRate:
    """The rate in force on a day.

    Raises
    ------
    ValidationError
        Where none had begun by then.
    """
    rate = HourRate.objects.in_force(day).first()
    if rate is None:
        sentence = _("No rate holds on %(day)s. Add one that is in force by then, with its source, first.")
        raise ValidationError(sentence % {"day": date_format(day, "j F Y")})
    return rate


def _still_standing(hours: Hours) -> Hours:
    locked = Hours.objects.select_for_update(of=("self",)).get(pk=hours.pk)
    if locked.voided_at is not None:
        raise ValidationError(_("These hours were voided. Record them anew where they were given after all."))
    return locked


def _write(hours: Hours, shares: Shares, at: datetime) -> None:
    if hours.given_on > timezone.localdate(at):
        raise ValidationError({"given_on": _("The day is still to come. Record hours when they were given.")})
    hours.rate = rate_on(hours.given_on)
    hours.full_clean()
    if shares:
        sharing.parted(hours.minutes, list(shares.items()), in_hours)
    for source in shares:
        refuse_elsewhere(source, on=hours.given_on, workshop=hours.workshop)
    sharing.rewrite(
        known=HoursShare.objects.filter(hours=hours) if hours.pk else (),
        wanted={source.pk: minutes for source, minutes in shares.items()},
        key="source_id",
        amount="minutes",
        new=lambda source_id, minutes: HoursShare(hours=hours, source_id=source_id, minutes=minutes),
        save_whole=hours.save,
    )


def in_hours(minutes: int) -> str:
    """150 → '2:30 h'."""
    return f"{minutes // 60}:{minutes % 60:02d} h"
