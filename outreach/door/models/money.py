"""Co-pays taken at the Door, as the crew noted them."""

from django.db import models
from django.db.models import Q, Sum
from django.utils.translation import gettext_lazy as _

from outreach.door.models.events import DoorEvent
from outreach.workshops.models import Workshop


class CopayQuerySet(models.QuerySet["Copay"]):
    def at(self, workshop: Workshop) -> "CopayQuerySet":
        return self.filter(event__device__workshop=workshop)

    def standing(self) -> "CopayQuerySet":
        """Of bins whose handout stands and was not taken back at the Door."""
        return self.filter(event__outcome__state__in=("applied", "known")).filter(
            Q(event__outcome__handout__isnull=True) | Q(event__outcome__handout__voided_at__isnull=True)
        )

    def cents_by_way(self) -> dict[str, int]:
        """How much was taken in each way."""
        rows = self.order_by().values_list("how").annotate(cents=Sum("cents"))
        return dict(rows)


class Copay(models.Model):
    """What was taken, or waived, for one bin at the Door."""

    class How(models.TextChoices):
        CASH = "cash", _("cash")
        CHEQUE = "cheque", _("cheque")
        WAIVED = "waived", _("waived")

    event = models.OneToOneField(DoorEvent, models.PROTECT, primary_key=True, related_name="copay")
    how = models.CharField(_("how"), max_length=10, choices=How.choices)
    cents = models.PositiveIntegerField(_("taken, cents"), default=0)
    receipt = models.CharField(_("receipt number"), max_length=60, blank=True)
    why = models.CharField(_("why it was waived"), max_length=300, blank=True)

    objects = CopayQuerySet.as_manager()

    class Meta:
        ordering = ["event"]
        constraints = [
            models.CheckConstraint(
                condition=~Q(how="waived") | Q(cents=0),
                name="copay_waived_takes_nothing",
                violation_error_message=_("A co-pay that was waived is no money taken."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.cents} cents, {self.how}"
