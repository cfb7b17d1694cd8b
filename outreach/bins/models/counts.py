"""Counts of shelves: that somebody looked, whether or not the ledger was right."""

from datetime import date

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from outreach.bins.models.stock import BinModel, StockMovement, StockPlace
from outreach.staff.models import StaffMember


class StockCountQuerySet(models.QuerySet["StockCount"]):
    def counted_between(self, first_day: date, last_day: date) -> "StockCountQuerySet":
        return self.filter(counted_on__range=(first_day, last_day))


class StockCount(models.Model):
    """One shelf counted on one day: what lay there, and what the ledger had said. Append-only."""

    place = models.ForeignKey(StockPlace, models.PROTECT, related_name="+")
    bin_model = models.ForeignKey(BinModel, models.PROTECT, related_name="+")
    counted_on = models.DateField(_("counted on"))
    found = models.PositiveIntegerField(_("bins counted"))
    ledger_said = models.IntegerField()
    # The difference, written as a movement of its own; none where the ledger was right.
    movement = models.OneToOneField(
        StockMovement, models.PROTECT, null=True, blank=True, related_name="counted_by"
    )
    entered_at = models.DateTimeField()
    entered_by = models.ForeignKey(StaffMember, models.PROTECT, null=True, blank=True, related_name="+")

    objects = StockCountQuerySet.as_manager()

    class Meta:
        ordering = ["-counted_on", "-id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(movement__isnull=False) | Q(found=models.F("ledger_said")),
                name="count_difference_is_a_movement",
                violation_error_message=_("Where shelf and ledger differ, the difference is a movement."),
            )
        ]

    def __str__(self) -> str:
        return f"{self.found} {self.bin_model} at {self.place} on {self.counted_on}"
