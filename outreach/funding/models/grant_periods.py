"""The days about which a funder wants reports, and when each is due."""

from datetime import date

from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from outreach.funding.models.sources import FundingSource
from outreach.staff.constraints import not_before


class GrantPeriodQuerySet(models.QuerySet["GrantPeriod"]):
    def of(self, source: FundingSource) -> "GrantPeriodQuerySet":
        return self.filter(source=source)

    def ended_by(self, on: date) -> "GrantPeriodQuerySet":
        return self.filter(last_day_on__lt=on)

    def due_from(self, on: date) -> "GrantPeriodQuerySet":
        return self.filter(report_due_on__gte=on)

    def with_areas(self) -> "GrantPeriodQuerySet":
        """With the source and whom it may serve."""
        return self.with_source().prefetch_related("source__may_serve", "source__may_serve_districts")

    def with_source(self) -> "GrantPeriodQuerySet":
        return self.select_related("source")


class GrantPeriod(models.Model):
    """A stretch of days about which a funding source wants a report, and the day on which it is due."""

    source = models.ForeignKey(
        FundingSource, models.PROTECT, related_name="grant_periods", verbose_name=_("source")
    )
    first_day_on = models.DateField(_("first day"))
    last_day_on = models.DateField(_("last day"))
    report_due_on = models.DateField(_("report due on"))

    objects = GrantPeriodQuerySet.as_manager()

    class Meta:
        ordering = ["-last_day_on", "source", "-first_day_on"]
        constraints = [
            not_before(
                "last_day_on",
                "first_day_on",
                name="grant_period_in_order",
                sentence=_("A grant period ends after it begins. Swap the two days?"),
            ),
            models.CheckConstraint(
                condition=Q(report_due_on__gt=F("last_day_on")),
                name="grant_period_due_after_its_end",
                violation_error_message=_("A report is due after the last day that it is about."),
            ),
            models.UniqueConstraint(
                fields=["source", "first_day_on", "last_day_on"],
                name="grant_period_once",
                violation_error_message=_("The source already has this period. Correct that one."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.source}: {self.first_day_on} to {self.last_day_on}"

    def clean(self) -> None:
        """It lies within the days on which the source pays."""
        if self.first_day_on and self.first_day_on < self.source.starts_on:
            raise ValidationError({"first_day_on": _("The source does not pay yet on this day.")})
        if self.last_day_on and self.source.ends_on and self.last_day_on > self.source.ends_on:
            raise ValidationError({"last_day_on": _("The source no longer pays on this day.")})
