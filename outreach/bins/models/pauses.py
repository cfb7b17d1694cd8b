"""Days without use that someone outside the waves knows of."""

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from outreach.households.models import Household
from outreach.staff.constraints import both_or_neither
from outreach.staff.models import StaffMember


class PauseQuerySet(models.QuerySet["Pause"]):
    def standing(self) -> "PauseQuerySet":
        """Those that nobody has withdrawn as a mistake."""
        return self.filter(withdrawn_at__isnull=True)

    def counted_for(self, household: Household) -> "PauseQuerySet":
        return self.filter(counted_under=household.counted_under)


class Pause(models.Model):
    """Days on which a household did not use its bin, as known from outside the waves; without an end, it stopped."""

    class KnownFrom(models.TextChoices):
        HELP = "help", _("a talk about a problem")
        AUTHORITY = "authority", _("an authority's order")
        VISIT = "visit", _("a visit")
        OTHER = "other", _("elsewhere")

    household = models.ForeignKey(Household, models.PROTECT, related_name="+")
    counted_under = models.ForeignKey(Household, models.PROTECT, related_name="+")
    from_on = models.DateField(_("not in use from"))
    # The first day of use again.
    until_on = models.DateField(
        _("in use again from"), null=True, blank=True, help_text=_("Empty: they stopped.")
    )
    known_from = models.CharField(_("known from"), max_length=10, choices=KnownFrom.choices)
    note = models.CharField(_("note"), max_length=300, blank=True)
    entered_at = models.DateTimeField()
    entered_by = models.ForeignKey(StaffMember, models.PROTECT, related_name="+")
    withdrawn_at = models.DateTimeField(null=True, blank=True)
    withdrawn_by = models.ForeignKey(StaffMember, models.PROTECT, null=True, blank=True, related_name="+")

    objects = PauseQuerySet.as_manager()

    class Meta:
        ordering = ["from_on", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(until_on__isnull=True) | Q(until_on__gt=models.F("from_on")),
                name="pause_lasts_a_day",
                violation_error_message=_("A pause ends at least a day after it began."),
            ),
            both_or_neither(
                "withdrawn_at",
                "withdrawn_by",
                name="pause_withdrawn_by_someone",
                sentence=_("Say who withdrew the pause."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.household}: not in use from {self.from_on}"
