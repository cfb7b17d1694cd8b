"""How many bins a household may have, and what was outside of that."""

from datetime import date

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from outreach.households.models import Household
from outreach.places.models import Jurisdiction
from outreach.staff.constraints import both_or_neither
from outreach.staff.models import StaffMember


class RuleVersionQuerySet(models.QuerySet["RuleVersion"]):
    def in_force(self, on: date) -> "RuleVersionQuerySet":
        """Versions that had begun by then, the newest first."""
        return self.filter(in_force_from_on__lte=on).order_by("-in_force_from_on", "-id")


class RuleVersion(models.Model):
    """How many subsidised bins a household may have in which window, who may, since when."""

    class Window(models.TextChoices):
        EVER = "ever", _("ever")
        CALENDAR_YEAR = "calendar_year", _("per calendar year")
        FISCAL_YEAR = "fiscal_year", _("per fiscal year")
        SINCE = "since", _("since a set day")

    jurisdiction = models.ForeignKey(
        Jurisdiction,
        models.PROTECT,
        null=True,
        blank=True,
        related_name="+",
        help_text=_("Leave empty for every jurisdiction."),
    )
    in_force_from_on = models.DateField(_("in force from"))
    allowance = models.CharField(_("allowance"), max_length=40, default="bin")
    slots = models.PositiveSmallIntegerField(_("bins per household"), default=1)
    window = models.CharField(
        _("in which window"), max_length=15, choices=Window.choices, default=Window.EVER
    )
    window_from_on = models.DateField(_("window starts on"), null=True, blank=True)
    served_places_only = models.BooleanField(_("only households in places served"), default=True)
    # Asked when a bin is promised at sign-up; at the table nobody is asked how they live.
    homes_with_ground_only = models.BooleanField(
        _("no bin is promised to apartments"),
        default=False,
    )
    return_frees_slot = models.BooleanField(_("a returned bin gives the place back"), default=False)
    earlier_bins_count = models.BooleanField(_("bins under an earlier rule count"), default=True)
    note = models.CharField(_("note"), max_length=300, blank=True)

    objects = RuleVersionQuerySet.as_manager()

    class Meta:
        ordering = ["-in_force_from_on"]
        constraints = [
            models.CheckConstraint(
                condition=Q(slots__gte=1),
                name="rule_allows_at_least_one",
                violation_error_message=_("A rule allows at least one bin."),
            ),
            models.CheckConstraint(
                condition=~Q(window="since") | Q(window_from_on__isnull=False),
                name="rule_window_has_a_day",
                violation_error_message=_("Give the day on which the window starts."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.slots} per household, {self.get_window_display()}"


class RuleExceptionQuerySet(models.QuerySet["RuleException"]):
    def without_reason(self) -> "RuleExceptionQuerySet":
        return self.filter(reason="")

    def with_reason(self) -> "RuleExceptionQuerySet":
        return self.exclude(reason="")

    def with_handouts(self) -> "RuleExceptionQuerySet":
        """Each with the bins it speaks for, and who allowed it."""
        return self.select_related("household", "allowed_by").prefetch_related(
            "handouts__bin_model",
            "stock_handouts__bin_model",
        )


class RuleException(models.Model):
    """A handout outside the rule or the ledger, with the reason and who gave it."""

    class Kind(models.TextChoices):
        SECOND_BIN = "second_bin", _("a second bin for the household")
        OUTSIDE_AREA = "outside_area", _("a resident of elsewhere")
        NONE_ON_LEDGER = "none_on_ledger", _("the ledger said none were left")
        MERGED = "merged", _("two households turned out to be one")

    kind = models.CharField(max_length=15, choices=Kind.choices)
    about = models.CharField(max_length=300)
    household = models.ForeignKey(Household, models.PROTECT, null=True, blank=True, related_name="+")
    flagged_at = models.DateTimeField()
    flagged_by = models.ForeignKey(StaffMember, models.PROTECT, null=True, blank=True, related_name="+")
    reason = models.CharField(_("reason"), max_length=300, blank=True)
    reasoned_at = models.DateTimeField(null=True, blank=True)
    allowed_by = models.ForeignKey(StaffMember, models.PROTECT, null=True, blank=True, related_name="+")

    objects = RuleExceptionQuerySet.as_manager()

    class Meta:
        ordering = ["-flagged_at"]
        constraints = [
            models.CheckConstraint(
                condition=Q(reason="") | Q(reasoned_at__isnull=False, allowed_by__isnull=False),
                name="exception_reason_has_someone",
                violation_error_message=_("A reason needs who allowed it, and when."),
            ),
            both_or_neither(
                "reasoned_at",
                "allowed_by",
                name="exception_allowed_by_someone",
                sentence=_("Say who allowed the exception."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_kind_display()}: {self.about}"

    @property
    def bins(self) -> list[models.Model]:
        """The handouts it speaks for."""
        return [*self.handouts.all(), *self.stock_handouts.all()]
