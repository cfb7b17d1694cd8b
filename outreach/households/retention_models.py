"""How long contact data is kept, and each time somebody looked whose time is over."""

from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from outreach.staff.constraints import within
from outreach.staff.models import StaffMember

FEWEST_MONTHS, MOST_MONTHS = 1, 240


class RetentionScheduleQuerySet(models.QuerySet["RetentionSchedule"]):
    def newest_first(self) -> "RetentionScheduleQuerySet":
        return self.order_by("-pk").select_related("set_by")


class RetentionSchedule(models.Model):
    """For how long names and how to reach people are kept, as somebody set it; the latest holds.

    Rows are only added, so that it can be shown under which schedule something was destroyed.
    """

    months_after_use = models.PositiveSmallIntegerField(
        _("months after the bin was last in use, or after we last heard from them"),
        help_text=_(
            "Whichever of the two is later. Those who pay for a programme often ask for three years."
        ),
    )
    months_in_use = models.PositiveSmallIntegerField(
        _("months without a word, where the bin is still in use as far as we know"),
        null=True,
        blank=True,
        help_text=_("Empty: as long as the bin is in use."),
    )
    # From this day the months run for everybody, whoever may still be active: the programme ends.
    begun_for_all_on = models.DateField(_("runs for everybody since"), null=True, blank=True)
    set_at = models.DateTimeField()
    set_by = models.ForeignKey(StaffMember, models.PROTECT, related_name="+")

    objects = RetentionScheduleQuerySet.as_manager()

    class Meta:
        ordering = ["-set_at"]
        constraints = [
            within(
                "months_after_use",
                FEWEST_MONTHS,
                MOST_MONTHS,
                name="retention_months_sensible",
                sentence=_("Keep contact data from 1 to 240 months."),
            ),
            models.CheckConstraint(
                condition=Q(months_in_use__isnull=True)
                | Q(months_in_use__gte=F("months_after_use"), months_in_use__lte=MOST_MONTHS),
                name="retention_in_use_not_shorter",
                violation_error_message=_(
                    "Whose bin is in use is kept at least as long as whoever has stopped, and 240 months at most."
                ),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.months_after_use} months"


class RetentionRunQuerySet(models.QuerySet["RetentionRun"]):
    def newest_first(self) -> "RetentionRunQuerySet":
        return self.order_by("-ran_at", "-pk")


class RetentionRun(models.Model):
    """One time the programme looked whose retention date has passed: how many went, and how many were left."""

    ran_at = models.DateTimeField(_("when"))
    forgotten = models.PositiveIntegerField(_("households forgotten"))
    held = models.PositiveIntegerField(_("held"))
    living_on = models.PositiveIntegerField(_("kept because someone is known elsewhere"))
    # Contact in rows that name no household, such as questions of the public page that nobody could place.
    of_no_household = models.PositiveIntegerField(_("contact of no household"), default=0)

    objects = RetentionRunQuerySet.as_manager()

    class Meta:
        ordering = ["-ran_at"]

    def __str__(self) -> str:
        return f"{self.ran_at:%Y-%m-%d}: {self.forgotten}"
