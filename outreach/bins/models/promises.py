"""Bins kept for households."""

from collections.abc import Iterable
from datetime import date

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from outreach.bins.models.handouts import Handout
from outreach.bins.models.stock import BinModel
from outreach.households.models import Household
from outreach.staff.models import StaffMember
from outreach.workshops.models import Workshop


class PromiseQuerySet(models.QuerySet["Promise"]):
    def kept(self) -> "PromiseQuerySet":
        """Those that still stand and have not been made good."""
        return self.filter(state=Promise.State.KEPT)

    def at(self, workshop: Workshop) -> "PromiseQuerySet":
        return self.filter(workshop=workshop)

    def at_any_of(self, workshops: Iterable[Workshop]) -> "PromiseQuerySet":
        return self.filter(workshop__in=workshops)

    def owed(self) -> "PromiseQuerySet":
        """Bins that a household went home without, the first due first."""
        return self.kept().filter(owed_from__isnull=False).order_by("promised_for_on", "pk")

    def due_by(self, day: date) -> "PromiseQuerySet":
        return self.filter(promised_for_on__lte=day)

    def counted_for(self, household: Household) -> "PromiseQuerySet":
        return self.filter(counted_under=household)

    def counted_for_any(self, root_ids: Iterable[int]) -> "PromiseQuerySet":
        return self.filter(counted_under__in=root_ids)

    def with_details(self) -> "PromiseQuerySet":
        return self.select_related("household", "bin_model", "owed_from__venue")


class Promise(models.Model):
    """A bin kept for a household: for a workshop until it starts, or owed after one until it is handed out."""

    class State(models.TextChoices):
        KEPT = "kept", _("kept")
        LAPSED = "lapsed", _("lapsed")
        FULFILLED = "fulfilled", _("fulfilled")

    household = models.ForeignKey(Household, models.PROTECT, related_name="+")
    counted_under = models.ForeignKey(Household, models.PROTECT, related_name="+")
    # Where it waits; none for one that is owed.
    workshop = models.ForeignKey(Workshop, models.PROTECT, null=True, blank=True, related_name="+")
    bin_model = models.ForeignKey(BinModel, models.PROTECT, null=True, blank=True, related_name="+")
    made_at = models.DateTimeField()
    kept_until = models.DateTimeField(_("kept until"), null=True, blank=True)
    state = models.CharField(_("state"), max_length=10, choices=State.choices, default=State.KEPT)
    lapsed_at = models.DateTimeField(null=True, blank=True)
    handout = models.OneToOneField(Handout, models.PROTECT, null=True, blank=True, related_name="promise")
    owed_from = models.ForeignKey(
        Workshop, models.PROTECT, null=True, blank=True, related_name="+", verbose_name=_("owed from")
    )
    promised_for_on = models.DateField(_("due on"), null=True, blank=True)
    made_by = models.ForeignKey(StaffMember, models.PROTECT, null=True, blank=True, related_name="+")

    objects = PromiseQuerySet.as_manager()

    class Meta:
        ordering = ["made_at", "pk"]
        indexes = [models.Index(fields=["workshop", "state"]), models.Index(fields=["promised_for_on"])]
        constraints = [
            models.UniqueConstraint(
                fields=["counted_under"],
                condition=Q(state="kept"),
                name="promise_one_kept_per_household",
                violation_error_message=_("A bin is already kept for this household."),
            ),
            models.CheckConstraint(
                condition=(Q(workshop__isnull=False) & Q(owed_from__isnull=True))
                | (Q(workshop__isnull=True) & Q(owed_from__isnull=False)),
                name="promise_at_a_workshop_or_owed_after_one",
                violation_error_message=_("A bin is kept at a workshop, or owed after one."),
            ),
            models.CheckConstraint(
                condition=Q(owed_from__isnull=True) | Q(promised_for_on__isnull=False),
                name="promise_owed_has_a_day",
                violation_error_message=_("Say by which day the household gets its bin."),
            ),
            models.CheckConstraint(
                condition=(Q(state="fulfilled") & Q(handout__isnull=False))
                | (~Q(state="fulfilled") & Q(handout__isnull=True)),
                name="promise_fulfilled_by_a_handout",
                violation_error_message=_("A promise is fulfilled by a handout, and only then names one."),
            ),
            models.CheckConstraint(
                condition=(Q(state="lapsed") & Q(lapsed_at__isnull=False))
                | (~Q(state="lapsed") & Q(lapsed_at__isnull=True)),
                name="promise_lapsed_at_an_instant",
                violation_error_message=_("A promise that lapsed says when, and no other does."),
            ),
        ]

    def __str__(self) -> str:
        return f"bin for {self.household}"
