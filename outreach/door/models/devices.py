"""Who may work at the Door of a workshop: passes without an account, and the devices that were let in."""

from datetime import date, datetime, time, timedelta
from typing import cast

from django.db import models
from django.db.models import F, Q
from django.utils import timezone
from django.utils.formats import time_format
from django.utils.translation import gettext_lazy as _

from outreach.bins.models import StockPlace
from outreach.staff.constraints import both_or_neither
from outreach.staff.models import StaffMember
from outreach.workshops.models import Workshop


def night_of(workshop: Workshop, made_at: datetime) -> datetime:
    """When whatever was made for a workshop ends: at the end of its day, or of the day it was made if later."""
    last_day: date = max(workshop.held_on, timezone.localdate(made_at))
    return timezone.make_aware(datetime.combine(last_day + timedelta(days=1), time.min))


class DoorTable(models.Model):
    """The Door of one workshop: from which place its bins leave, and what it has counted so far."""

    workshop = models.OneToOneField(Workshop, models.PROTECT, related_name="+")
    place = models.ForeignKey(StockPlace, models.PROTECT, related_name="+", verbose_name=_("bins come from"))
    # People on no list as devices counted them; written to the workshop unless a person wrote another number.
    counted_unlisted = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ["workshop"]

    def __str__(self) -> str:
        return f"{self.workshop}: {self.place}"


class DoorPassQuerySet(models.QuerySet["DoorPass"]):
    def of(self, workshop: Workshop) -> "DoorPassQuerySet":
        return self.filter(workshop=workshop)

    def with_digest(self, digest: str) -> "DoorPass | None":
        return self.filter(code_digest=digest).select_related("workshop").first()

    def with_makers(self) -> "DoorPassQuerySet":
        return self.select_related("workshop", "made_by", "revoked_by")


class DoorPass(models.Model):
    """A code for the Door of one workshop; it needs no account and ends that night. Only its digest is kept."""

    workshop = models.ForeignKey(Workshop, models.PROTECT, related_name="+")
    code_digest = models.CharField(max_length=64, unique=True)
    may_except = models.BooleanField(_("may give a bin outside the rule, with a reason"), default=False)
    made_at = models.DateTimeField()
    made_by = models.ForeignKey(StaffMember, models.PROTECT, related_name="+")
    revoked_at = models.DateTimeField(null=True, blank=True)
    revoked_by = models.ForeignKey(StaffMember, models.PROTECT, null=True, blank=True, related_name="+")

    objects = DoorPassQuerySet.as_manager()

    class Meta:
        ordering = ["-made_at"]
        constraints = [
            both_or_neither(
                "revoked_at",
                "revoked_by",
                name="door_pass_revoked_by_someone",
                sentence=_("Say who revoked the pass."),
            )
        ]

    def __str__(self) -> str:
        return f"door pass {self.pk} for {self.workshop}"

    @property
    def ends_at(self) -> datetime:
        """Follows the workshop where it is postponed."""
        return night_of(self.workshop, self.made_at)

    def is_good(self, at: datetime) -> bool:
        return self.revoked_at is None and at < self.ends_at


class DeviceQuerySet(models.QuerySet["Device"]):
    def of(self, workshop: Workshop) -> "DeviceQuerySet":
        return self.filter(workshop=workshop)

    def with_token(self, digest: str) -> "DeviceQuerySet":
        """The one that has this token, if any."""
        return self.filter(token_digest=digest).order_by()

    def not_finished(self) -> "DeviceQuerySet":
        """Those that have not said themselves that nothing is left on them."""
        return self.filter(ended_at__isnull=True)

    def that_may_hold(self, heard_since: datetime) -> "DeviceQuerySet":
        """Those that said they hold something, or were not heard from since."""
        return self.not_finished().filter(Q(unsent__gt=0) | Q(last_seen_at__lt=heard_since))

    def let_in_by(self, door_pass: DoorPass) -> "DeviceQuerySet":
        return self.filter(door_pass=door_pass)

    def not_revoked(self) -> "DeviceQuerySet":
        return self.filter(revoked_at__isnull=True)


class Device(models.Model):
    """One phone or tablet at the Door of one workshop, and who uses it. Its token is kept as a digest only."""

    # Made on the device; the same device at another workshop is another row.
    uuid = models.UUIDField()
    workshop = models.ForeignKey(Workshop, models.PROTECT, related_name="+")
    token_digest = models.CharField(max_length=64, unique=True)
    by_name = models.CharField(_("used by"), max_length=200)
    label = models.CharField(_("device"), max_length=120, blank=True)
    door_pass = models.ForeignKey(DoorPass, models.PROTECT, null=True, blank=True, related_name="devices")
    staff_member = models.ForeignKey(StaffMember, models.PROTECT, null=True, blank=True, related_name="+")
    may_except = models.BooleanField(default=False)
    opened_at = models.DateTimeField()
    expires_at = models.DateTimeField()
    revoked_at = models.DateTimeField(null=True, blank=True)
    revoked_by = models.ForeignKey(StaffMember, models.PROTECT, null=True, blank=True, related_name="+")
    # The device said that nothing is left on it and that it has forgotten its token.
    ended_at = models.DateTimeField(null=True, blank=True)
    last_seen_at = models.DateTimeField()
    last_offset_ms = models.BigIntegerField(null=True, blank=True)
    # As it last reported.
    unsent = models.PositiveIntegerField(_("not yet sent"), default=0)

    objects = DeviceQuerySet.as_manager()

    class Meta:
        ordering = ["by_name", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["uuid", "workshop"],
                name="device_once_per_workshop",
                violation_error_message=_("This device is already at the Door of this workshop."),
            ),
            models.CheckConstraint(
                condition=Q(door_pass__isnull=False, staff_member__isnull=True)
                | Q(door_pass__isnull=True, staff_member__isnull=False),
                name="device_by_pass_or_by_staff",
                violation_error_message=_("A device is let in by a door pass or by someone who signed in."),
            ),
            models.CheckConstraint(
                condition=~Q(by_name=""),
                name="device_used_by_someone",
                violation_error_message=_("Give the name of whoever uses the device."),
            ),
            models.CheckConstraint(
                condition=Q(opened_at__lt=F("expires_at")),
                name="device_expires_after_it_opened",
                violation_error_message=_("A device is let in until a later instant."),
            ),
            both_or_neither(
                "revoked_at",
                "revoked_by",
                name="device_revoked_by_someone",
                sentence=_("Say who revoked the device."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.said} ({self.by_name})"

    @property
    def said(self) -> str:
        """What people tell it by: what it says of itself, else when it was let in."""
        if self.label:
            return self.label
        hour = time_format(timezone.localtime(self.opened_at), "TIME_FORMAT")
        return str(_("a device let in at %(hour)s")) % {"hour": hour}

    @property
    def answerable(self) -> StaffMember:
        """The member of staff who stands behind what it does: whoever signed in, or who made the pass."""
        return self.staff_member or cast(DoorPass, self.door_pass).made_by

    def why_ended(self, at: datetime) -> str:
        """'' while it may read and write; else the sentence for whoever holds it."""
        if self.revoked_at is not None and self.revoked_at <= at:
            return str(
                _("This device was taken off the Door by the office. What it still holds can be sent.")
            )
        if self.expires_at <= at:
            return str(_("The pass of this device has ended. What it still holds can be sent."))
        return ""
