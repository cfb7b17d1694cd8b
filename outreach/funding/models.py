"""Grants and budgets that pay for bins and workshops."""

from datetime import date

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from outreach.places.models import Jurisdiction
from outreach.staff.constraints import not_before


class FundingSourceQuerySet(models.QuerySet["FundingSource"]):
    def running(self, on: date) -> "FundingSourceQuerySet":
        """Those that pay on this day."""
        return self.filter(starts_on__lte=on).exclude(ends_on__lt=on)


class FundingSource(models.Model):
    """A grant or budget that pays, with start, end, amount, and who may be served from it."""

    name = models.CharField(_("name"), max_length=120, unique=True)
    funder = models.CharField(_("who gives it"), max_length=120, blank=True)
    grant_number = models.CharField(_("their number for it"), max_length=60, blank=True)
    starts_on = models.DateField(_("from"))
    ends_on = models.DateField(_("until, inclusive"), null=True, blank=True)
    amount_cents = models.PositiveBigIntegerField(_("amount, cents"), default=0)
    # Nobody named: it may serve everybody.
    may_serve = models.ManyToManyField(
        Jurisdiction, blank=True, related_name="+", verbose_name=_("may serve only")
    )
    note = models.TextField(_("note"), blank=True)

    objects = FundingSourceQuerySet.as_manager()

    class Meta:
        ordering = ["name"]
        constraints = [
            not_before(
                "ends_on",
                "starts_on",
                name="funding_ends_after_it_starts",
                sentence=_("A funding source cannot end before it starts."),
            ),
            models.CheckConstraint(
                condition=~Q(name=""),
                name="funding_has_a_name",
                violation_error_message=_("Give the funding source a name."),
            ),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def amount_in_dollars(self) -> str:
        return f"{self.amount_cents / 100:,.2f}"
