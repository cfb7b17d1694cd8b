"""What was counted when a workshop was closed."""

from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from outreach.staff.models import StaffMember
from outreach.workshops.models import Workshop


class ClosingQuerySet(models.QuerySet["Closing"]):
    def of(self, workshop: Workshop) -> "ClosingQuerySet":
        return self.filter(workshop=workshop).select_related("closed_by")


class Closing(models.Model):
    """One closing of a workshop: people, money against what was noted, and what goes back. Append-only.

    The bins counted are stock counts of their own.
    """

    workshop = models.ForeignKey(Workshop, models.PROTECT, related_name="+")
    closed_at = models.DateTimeField()
    closed_by = models.ForeignKey(StaffMember, models.PROTECT, related_name="+")
    # By name; those who came along with them, or are on no list, are beside them.
    people_came = models.PositiveIntegerField()
    people_missed = models.PositiveIntegerField()
    people_unlisted = models.PositiveIntegerField()
    cash_noted_cents = models.PositiveIntegerField(default=0)
    cash_found_cents = models.PositiveIntegerField(default=0)
    cheques_noted_cents = models.PositiveIntegerField(default=0)
    cheques_found_cents = models.PositiveIntegerField(default=0)
    bins_differ = models.BooleanField(default=False)
    difference_explained = models.CharField(_("why they differ"), max_length=500, blank=True)
    devices_left = models.PositiveSmallIntegerField(default=0)
    devices_reason = models.CharField(_("why it is closed without them"), max_length=300, blank=True)
    materials = models.TextField(_("what goes back"), blank=True)

    objects = ClosingQuerySet.as_manager()

    class Meta:
        ordering = ["-closed_at"]
        constraints = [
            models.CheckConstraint(
                condition=(
                    Q(cash_noted_cents=F("cash_found_cents"), cheques_noted_cents=F("cheques_found_cents"))
                    & Q(bins_differ=False)
                )
                | ~Q(difference_explained=""),
                name="closing_explains_a_difference",
                violation_error_message=_("Say why what was counted differs from what was noted."),
            ),
            models.CheckConstraint(
                condition=Q(devices_left=0) | ~Q(devices_reason=""),
                name="closing_without_devices_says_why",
                violation_error_message=_(
                    "A device may still hold what happened. Wait for it, or say why you close without it."
                ),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.workshop}, closed {self.closed_at:%Y-%m-%d %H:%M}"

    @property
    def people_in(self) -> int:
        """Everybody who was there."""
        return self.people_came + self.people_unlisted
