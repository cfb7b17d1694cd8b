"""Unpaid hours given in kind, what an hour is worth and by which source, and which grants they match."""

from datetime import date

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from outreach.funding.models.sources import FundingSource
from outreach.funding.voided import voided_with_a_reason
from outreach.staff.models import StaffMember
from outreach.workshops.models import Workshop

MINUTES_A_DAY = 24 * 60


class HourRateQuerySet(models.QuerySet["HourRate"]):
    def in_force(self, on: date) -> "HourRateQuerySet":
        """Rates that had begun by then, the newest first; of one day the one entered last."""
        return self.filter(in_force_from_on__lte=on).order_by("-in_force_from_on", "-pk")


class HourRate(models.Model):
    """What an unpaid hour is worth from a day on, and where that was published. Insert-only."""

    cents_per_hour = models.PositiveIntegerField(_("worth of an hour"))
    in_force_from_on = models.DateField(_("in force from"))
    source = models.CharField(_("where it is published"), max_length=200)
    looked_up_on = models.DateField(_("looked up on"))
    entered_at = models.DateTimeField()
    entered_by = models.ForeignKey(StaffMember, models.PROTECT, related_name="+")

    objects = HourRateQuerySet.as_manager()

    class Meta:
        ordering = ["-in_force_from_on", "-pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(cents_per_hour__gt=0),
                name="hour_rate_of_something",
                violation_error_message=_("Give what an hour is worth: at least one cent."),
            ),
            models.CheckConstraint(
                condition=~Q(source=""),
                name="hour_rate_has_a_source",
                violation_error_message=_("Say where the rate is published."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.cents_per_hour / 100:.2f} an hour from {self.in_force_from_on.isoformat()}"


class HoursQuerySet(models.QuerySet["Hours"]):
    def standing(self) -> "HoursQuerySet":
        return self.filter(voided_at__isnull=True)

    def voided(self) -> "HoursQuerySet":
        return self.filter(voided_at__isnull=False)

    def given_between(self, first_day: date, last_day: date) -> "HoursQuerySet":
        return self.filter(given_on__range=(first_day, last_day))

    def matching(self, source: FundingSource) -> "HoursQuerySet":
        """Those of which a part, or all, is match for the source."""
        return self.filter(pk__in=HoursShare.objects.filter(source=source).values("hours"))

    def with_details(self) -> "HoursQuerySet":
        return self.select_related("workshop__venue", "rate").prefetch_related("shares__source")


class Hours(models.Model):
    """One volunteer's unpaid time on one day, valued at the rate of that day."""

    class Doing(models.TextChoices):
        EVENT = "event", _("at a workshop or stall")
        PREPARATION = "preparation", _("preparation")

    given_on = models.DateField(_("day"))
    minutes = models.PositiveIntegerField(_("time"))
    doing = models.CharField(_("doing what"), max_length=12, choices=Doing.choices, default=Doing.EVENT)
    # Not needed to count the time; whoever asks for it to be forgotten is forgotten here too.
    volunteer = models.CharField(_("who (may stay empty)"), max_length=200, blank=True)
    workshop = models.ForeignKey(
        Workshop, models.PROTECT, null=True, blank=True, related_name="+", verbose_name=_("workshop")
    )
    rate = models.ForeignKey(HourRate, models.PROTECT, related_name="+", verbose_name=_("rate"))
    paperwork = models.CharField(_("number of the time sheet"), max_length=80, blank=True)
    note = models.CharField(_("note"), max_length=300, blank=True)
    voided_at = models.DateTimeField(null=True, blank=True)
    voided_by = models.ForeignKey(StaffMember, models.PROTECT, null=True, blank=True, related_name="+")
    void_reason = models.CharField(max_length=300, blank=True)
    entered_at = models.DateTimeField()
    entered_by = models.ForeignKey(StaffMember, models.PROTECT, related_name="+")

    objects = HoursQuerySet.as_manager()

    class Meta:
        verbose_name = verbose_name_plural = _("hours")
        ordering = ["-given_on", "-id"]
        indexes = [models.Index(fields=["given_on"])]
        constraints = [
            models.CheckConstraint(
                condition=Q(minutes__gte=1, minutes__lte=MINUTES_A_DAY),
                name="hours_within_a_day",
                violation_error_message=_(
                    "One person gives from a minute to 24 hours on a day. Enter each day, and each person, alone."
                ),
            ),
            *voided_with_a_reason("hours", _("Say who voided the hours, and why.")),
        ]

    def __str__(self) -> str:
        return f"{self.minutes} minutes on {self.given_on.isoformat()}"


class HoursShare(models.Model):
    """The part of some hours that is match for one funding source. The parts add up to the hours."""

    hours = models.ForeignKey(Hours, models.PROTECT, related_name="shares")
    source = models.ForeignKey(
        FundingSource, models.PROTECT, related_name="+", verbose_name=_("funding source")
    )
    minutes = models.PositiveIntegerField(_("share"))

    class Meta:
        ordering = ["hours", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["hours", "source"],
                name="hours_share_once",
                violation_error_message=_("Name each funding source once."),
            ),
            models.CheckConstraint(
                condition=Q(minutes__gt=0),
                name="hours_share_of_something",
                violation_error_message=_("A share is at least one minute."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.minutes} minutes of hours {self.hours_id}"
