"""Filings: drafts that change, and reports as submitted, which never do."""

from collections.abc import Iterable
from datetime import date
from typing import Any

from django.db import models
from django.db.models import Q
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from outreach.filings import gather_sql, period_codes, periods
from outreach.filings.periods import Period, Slice
from outreach.places.models import Jurisdiction
from outreach.staff.constraints import not_before
from outreach.staff.models import StaffMember


class FilingDraft(models.Model):
    """A filing being prepared: period, scope, settings. Its figures are made anew when it is opened."""

    jurisdiction = models.ForeignKey(
        Jurisdiction, models.PROTECT, null=True, blank=True, related_name="+", verbose_name=_("jurisdiction")
    )
    # Its code, as `period_codes` reads it; a fiscal one by the fiscal year of the jurisdiction when it is opened.
    period = models.CharField(_("period"), max_length=21)
    settings = models.JSONField(default=dict, blank=True)
    # What was written to findings so far: code -> {headline, text}.
    answers = models.JSONField(default=dict, blank=True)
    # How many findings were neither mended nor answered when it was last opened.
    findings_open = models.PositiveSmallIntegerField(null=True, blank=True)
    begun_at = models.DateTimeField()
    begun_by = models.ForeignKey(StaffMember, models.PROTECT, related_name="+")

    class Meta:
        ordering = ["-begun_at"]
        constraints = [
            models.CheckConstraint(
                condition=Q(period__regex=periods.CODE),
                name="draft_period_written_so",
                violation_error_message=_(
                    "Write a period as 2025-Q2, 2025, FY2026-Q1, FY2026 or 2025-02-15/2026-02-14."
                ),
            ),
            models.UniqueConstraint(
                fields=["jurisdiction", "period"],
                name="draft_one_per_period",
                violation_error_message=_("A draft for this period is already open. Go on with that one."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.jurisdiction or _('All jurisdictions')} {self.period}"

    def get_absolute_url(self) -> str:
        return reverse("filing_draft", args=[self.pk])


class FilingQuerySet(models.QuerySet["Filing"]):
    def standing(self) -> "FilingQuerySet":
        """Those that no restatement has replaced."""
        return self.filter(restated_by__isnull=True)

    def with_names(self) -> "FilingQuerySet":
        """With what a list or a page shows beside the report itself."""
        return self.select_related("jurisdiction", "submitted_by", "restated_by", "restates")

    def without_contents(self) -> "FilingQuerySet":
        """Without the large frozen parts, for lists."""
        return self.defer("inputs", "report", "settings", "answers")

    def covering(self, period: Period) -> "FilingQuerySet":
        """Those of the very days of a period, whatever clock they were filed by."""
        return self.filter(first_day_on=period.first_day, last_day_on=period.last_day)

    def ending_on(self, days: Iterable[date]) -> "FilingQuerySet":
        return self.filter(last_day_on__in=days)

    def numbered(self, number: int) -> "Filing | None":
        return self.filter(pk=number).first()

    def about(self, jurisdiction: Jurisdiction | None, period: Period) -> "FilingQuerySet":
        return self.covering(period).filter(jurisdiction=jurisdiction)

    def saying_something_of(self, jurisdiction: Jurisdiction | None) -> "FilingQuerySet":
        """Its own and those of all places together; for all places every filing says something."""
        if jurisdiction is None:
            return self
        return self.filter(Q(jurisdiction=jurisdiction) | Q(jurisdiction__isnull=True))


class Filing(models.Model):
    """A report as submitted: frozen figures and the inputs they came from. Append-only."""

    jurisdiction = models.ForeignKey(Jurisdiction, models.PROTECT, null=True, blank=True, related_name="+")
    title = models.CharField(max_length=200)
    # Its code; the days beside it stay true where a fiscal year is moved.
    period = models.CharField(max_length=21)
    first_day_on = models.DateField()
    last_day_on = models.DateField()
    cut_off_on = models.DateField()
    submitted_at = models.DateTimeField()
    submitted_by = models.ForeignKey(StaffMember, models.PROTECT, null=True, blank=True, related_name="+")
    factor_set = models.CharField(max_length=40)
    factor_set_sha256 = models.CharField(max_length=64)
    software_version = models.CharField(max_length=40)
    settings = models.JSONField()
    # Cells of integer sums; the lines they were summed from are in FilingLine.
    inputs = models.JSONField()
    inputs_sha256 = models.CharField(max_length=64)
    # What every document prints, with the unrounded values beside.
    report = models.JSONField()
    report_sha256 = models.CharField(max_length=64)
    # What was found before submitting, and what was written to it: code, headline, text, by, at.
    answers = models.JSONField(default=list, blank=True)
    restates = models.OneToOneField(
        "self",
        models.PROTECT,
        null=True,
        blank=True,
        related_name="restated_by",
        error_messages={"unique": _("This filing has already been restated. Restate the newer one.")},
    )
    reasons = models.TextField(blank=True)

    objects = FilingQuerySet.as_manager()

    class Meta:
        ordering = ["-last_day_on", "-first_day_on", "-submitted_at"]
        constraints = [
            not_before(
                "last_day_on",
                "first_day_on",
                name="filing_period_in_order",
                sentence=_("A period ends after it begins."),
            ),
            models.UniqueConstraint(
                fields=["jurisdiction", "first_day_on", "last_day_on"],
                condition=Q(restates__isnull=True),
                name="filing_first_of_its_period",
                violation_error_message=_(
                    "This period is already filed. File a restatement with its reasons."
                ),
            ),
            models.UniqueConstraint(
                fields=["first_day_on", "last_day_on"],
                condition=Q(restates__isnull=True, jurisdiction__isnull=True),
                name="filing_first_of_its_period_everywhere",
                violation_error_message=_(
                    "This period is already filed for all jurisdictions. File a restatement with its reasons."
                ),
            ),
            models.CheckConstraint(
                condition=Q(restates__isnull=True) | ~Q(reasons=""),
                name="filing_restatement_has_reasons",
                violation_error_message=_("A restatement gives its reasons."),
            ),
        ]

    def __str__(self) -> str:
        return self.title

    def get_absolute_url(self) -> str:
        return reverse("filing", args=[self.pk])

    @property
    def filed_period(self) -> Period:
        return Period(
            kind=period_codes.kind_of(self.period),
            first_day=self.first_day_on,
            last_day=self.last_day_on,
            code=self.period,
        )

    @property
    def period_lines(self) -> "FilingLineQuerySet":
        """The lines behind its period, without those of the rest of the year to date."""
        lines: FilingLineQuerySet = self.lines.all()
        return lines.of_slices(self.filed_period.slices)

    @property
    def is_recomputed_in_a_workbook(self) -> bool:
        """Its answers fit one sheet of formulas: it gives tonnes, of one quarter or a part of one."""
        return self.is_estimated and len(self.inputs["period"]["quarters"]) == 1

    @property
    def is_estimated(self) -> bool:
        """It gives tonnes; False where there were too few answers."""
        return bool(self.report["account"]["period"]["estimated"])

    @property
    def answer_count(self) -> int:
        """Answers in force at the end of the filed period."""
        return sum(cell["answers"] for cell in self.inputs["period"]["quarters"][-1]["answers"])

    @property
    def kept_answers(self) -> dict[str, dict[str, str]]:
        """What was written to its findings, to begin from where it is restated."""
        return {one["code"]: {"text": one["text"], "headline": one["headline"]} for one in self.answers}

    @property
    def is_superseded(self) -> bool:
        return hasattr(self, "restated_by")


class FilingLineQuerySet(models.QuerySet["FilingLine"]):
    def of_quarter(self, quarter: str) -> "FilingLineQuerySet":
        return self.filter(quarter=quarter)

    def of_slices(self, parts: Iterable[Slice]) -> "FilingLineQuerySet":
        within = Q(pk__in=())
        for part in parts:
            within |= Q(quarter=str(part.quarter), span=part.span)
        return self.filter(within)

    def of_cell(self, cell: str) -> "FilingLineQuerySet":
        return self.filter(cell=cell)


class FilingLine(models.Model):
    """One household's line behind a filing: a random number, its cell, days and amounts. Append-only.

    `cell` is the key of the sums it went into; nothing in the line leads back to the household.
    """

    filing = models.ForeignKey(Filing, models.PROTECT, related_name="lines")
    quarter = models.CharField(max_length=7)
    # The days of the quarter that were counted, as an interval; '' for all of them.
    span = models.CharField(max_length=21, blank=True, default="")
    number = models.BigIntegerField()
    cell = models.CharField(max_length=200)
    days = models.PositiveIntegerField()
    unasked = models.PositiveSmallIntegerField()
    food = models.PositiveIntegerField()
    yard = models.PositiveIntegerField()
    # None in filings of versions that did not sum browns.
    browns = models.PositiveIntegerField(null=True, blank=True)

    objects = FilingLineQuerySet.as_manager()

    class Meta:
        ordering = ["filing", "quarter", "span", "number"]
        constraints = [
            models.UniqueConstraint(
                fields=["filing", "quarter", "span", "number"],
                name="filing_line_once",
                violation_error_message=_("This line is already kept."),
            )
        ]

    def __str__(self) -> str:
        return f"{self.filing_id} {self.quarter} line {self.number}"

    @property
    def key(self) -> dict[str, Any]:
        """The cell's key, column by column."""
        return gather_sql.key_of_line(self.cell)
