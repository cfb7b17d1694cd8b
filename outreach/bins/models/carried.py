"""Bins that moved house with their people."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from outreach.bins.models.handouts import Handout
from outreach.households.models import Household
from outreach.staff.models import StaffMember


class CarriedBin(models.Model):
    """One bin that came along when its household moved to a new address, and from which day it is there."""

    handout = models.ForeignKey(Handout, models.PROTECT, related_name="carried")
    household = models.ForeignKey(Household, models.PROTECT, related_name="+")
    counted_under = models.ForeignKey(Household, models.PROTECT, related_name="+")
    moved_on = models.DateField(_("moved on"))
    entered_at = models.DateTimeField()
    entered_by = models.ForeignKey(StaffMember, models.PROTECT, related_name="+")

    class Meta:
        ordering = ["moved_on"]
        constraints = [
            models.UniqueConstraint(
                fields=["handout", "household"],
                name="carried_bin_once",
                violation_error_message=_("This bin has already been carried over to that household."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.handout.bin_model} to {self.household}"
