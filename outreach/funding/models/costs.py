"""What was spent, and which budget lines pay which part of it."""

from datetime import date

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from outreach.funding.models.sources import BudgetLine, FundingSource
from outreach.funding.voided import voided_with_a_reason
from outreach.staff.models import StaffMember
from outreach.workshops.models import Workshop


class CostQuerySet(models.QuerySet["Cost"]):
    def standing(self) -> "CostQuerySet":
        return self.filter(voided_at__isnull=True)

    def voided(self) -> "CostQuerySet":
        return self.filter(voided_at__isnull=False)

    def spent_between(self, first_day: date, last_day: date) -> "CostQuerySet":
        return self.filter(spent_on__range=(first_day, last_day))

    def paid_by(self, source: FundingSource) -> "CostQuerySet":
        """Those of which the source pays a part, or all."""
        return self.filter(pk__in=CostShare.objects.filter(budget_line__source=source).values("cost"))

    def with_details(self) -> "CostQuerySet":
        return self.select_related("workshop__venue").prefetch_related("shares__budget_line__source")


class Cost(models.Model):
    """One amount that was spent; its shares say which budget lines pay it, to the last cent."""

    spent_on = models.DateField(_("spent on"))
    amount_cents = models.PositiveBigIntegerField(_("amount"))
    what_for = models.CharField(_("what for"), max_length=200)
    workshop = models.ForeignKey(
        Workshop, models.PROTECT, null=True, blank=True, related_name="+", verbose_name=_("workshop")
    )
    paperwork = models.CharField(_("number of the invoice or receipt"), max_length=80, blank=True)
    note = models.CharField(_("note"), max_length=300, blank=True)
    voided_at = models.DateTimeField(null=True, blank=True)
    voided_by = models.ForeignKey(StaffMember, models.PROTECT, null=True, blank=True, related_name="+")
    void_reason = models.CharField(max_length=300, blank=True)
    entered_at = models.DateTimeField()
    entered_by = models.ForeignKey(StaffMember, models.PROTECT, related_name="+")

    objects = CostQuerySet.as_manager()

    class Meta:
        ordering = ["-spent_on", "-id"]
        indexes = [models.Index(fields=["spent_on"])]
        constraints = [
            models.CheckConstraint(
                condition=Q(amount_cents__gt=0),
                name="cost_of_something",
                violation_error_message=_("Give what was spent: at least one cent."),
            ),
            *voided_with_a_reason("cost", _("Say who voided the cost, and why.")),
        ]

    def __str__(self) -> str:
        return self.what_for


class CostShare(models.Model):
    """The part of one cost that one budget line pays. The parts of a cost add up to it."""

    # Shares are corrected with their cost; voiding leaves both where they are.
    cost = models.ForeignKey(Cost, models.PROTECT, related_name="shares")
    budget_line = models.ForeignKey(
        BudgetLine, models.PROTECT, related_name="+", verbose_name=_("budget line")
    )
    cents = models.PositiveBigIntegerField(_("share"))

    class Meta:
        ordering = ["cost", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["cost", "budget_line"],
                name="cost_share_once",
                violation_error_message=_("Name each budget line once."),
            ),
            models.CheckConstraint(
                condition=Q(cents__gt=0),
                name="cost_share_of_something",
                violation_error_message=_("A share is at least one cent."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.cents} cents of cost {self.cost_id}"
