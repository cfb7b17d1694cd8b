"""Filings: drafts that change, and reports as submitted, which never do."""

from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from outreach.places.models import Jurisdiction
from outreach.staff.models import StaffMember


class FilingDraft(models.Model):
    """A filing being prepared: period, scope and settings; figures are made anew when it is opened."""

    jurisdiction = models.ForeignKey(Jurisdiction, models.PROTECT, related_name="+")
    first_day_on = models.DateField(_("first day"))
    last_day_on = models.DateField(_("last day"))
    settings = models.JSONField(default=dict)
    begun_at = models.DateTimeField()
    begun_by = models.ForeignKey(StaffMember, models.PROTECT, related_name="+")

    class Meta:
        ordering = ["-last_day_on"]
        constraints = [
            models.CheckConstraint(
                condition=Q(first_day_on__lt=F("last_day_on")),
                name="draft_period_in_order",
                violation_error_message=_("A period ends after it begins."),
            )
        ]

    def __str__(self) -> str:
        return f"{self.jurisdiction} {self.first_day_on} to {self.last_day_on}"


class FilingQuerySet(models.QuerySet["Filing"]):
    def standing(self) -> "FilingQuerySet":
        """Those that no restatement has replaced."""
        return self.filter(restated_by__isnull=True)


class Filing(models.Model):
    """A report as submitted: frozen figures and the inputs they came from. Append-only."""

    jurisdiction = models.ForeignKey(Jurisdiction, models.PROTECT, related_name="+")
    title = models.CharField(max_length=200)
    first_day_on = models.DateField()
    last_day_on = models.DateField()
    cut_off_on = models.DateField()
    submitted_at = models.DateTimeField()
    submitted_by = models.ForeignKey(StaffMember, models.PROTECT, null=True, related_name="+")
    factor_set = models.CharField(max_length=40)
    factor_set_sha256 = models.CharField(max_length=64)
    software_version = models.CharField(max_length=40)
    settings = models.JSONField()
    # Strata as integer sums; the lines behind them are in FilingLine.
    inputs = models.JSONField()
    inputs_sha256 = models.CharField(max_length=64)
    # Everything every document prints, unrounded where the text rounds it.
    figures = models.JSONField()
    figures_sha256 = models.CharField(max_length=64)
    restates = models.OneToOneField("self", models.PROTECT, null=True, blank=True, related_name="restated_by")
    reasons = models.TextField(blank=True)

    objects = FilingQuerySet.as_manager()

    class Meta:
        ordering = ["-last_day_on", "-submitted_at"]
        constraints = [
            models.CheckConstraint(
                condition=Q(first_day_on__lt=F("last_day_on")),
                name="filing_period_in_order",
                violation_error_message=_("A period ends after it begins."),
            ),
            models.CheckConstraint(
                condition=Q(restates__isnull=True) | ~Q(reasons=""),
                name="filing_restatement_has_reasons",
                violation_error_message=_("A restatement gives its reasons."),
            ),
        ]

    def __str__(self) -> str:
        return self.title


class FilingLine(models.Model):
    """One household's line behind a filing: a random number, its stratum, days and volumes. Append-only."""

    filing = models.ForeignKey(Filing, models.PROTECT, related_name="lines")
    number = models.BigIntegerField()
    cell = models.CharField(max_length=200)
    days = models.PositiveIntegerField()
    food = models.PositiveIntegerField(null=True)
    yard = models.PositiveIntegerField(null=True)
    is_answered = models.BooleanField()

    class Meta:
        ordering = ["filing", "number"]
        constraints = [models.UniqueConstraint(fields=["filing", "number"], name="filing_line_once")]

    def __str__(self) -> str:
        return f"{self.filing_id} line {self.number}"
