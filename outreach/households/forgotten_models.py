"""Who was forgotten, and what must not be forgotten yet."""

import uuid
from datetime import date

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from outreach.households.models import Household
from outreach.staff.constraints import both_or_neither
from outreach.staff.models import StaffMember


class ForgettingHoldQuerySet(models.QuerySet["ForgettingHold"]):
    def on_any(self, homes: "list[int] | frozenset[int]") -> "ForgettingHoldQuerySet":
        return self.filter(household__in=homes)

    def listed(self, on: date) -> "ForgettingHoldQuerySet":
        """Those in force, with the household and who set each."""
        return self.in_force(on).select_related("household__merged_into", "set_by")

    def in_force(self, on: date) -> "ForgettingHoldQuerySet":
        """Not released, and not over; the longest first."""
        return self.filter(released_at__isnull=True, until_on__gte=on).order_by("-until_on")


class ForgettingHold(models.Model):
    """A household whose records an audit or a dispute still needs: nobody in it is forgotten until a day."""

    household = models.ForeignKey(Household, models.PROTECT, related_name="+")
    reason = models.CharField(_("why they are still needed"), max_length=300)
    until_on = models.DateField(_("until"))
    set_at = models.DateTimeField()
    set_by = models.ForeignKey(StaffMember, models.PROTECT, related_name="+")
    released_at = models.DateTimeField(null=True, blank=True)
    released_by = models.ForeignKey(StaffMember, models.PROTECT, null=True, blank=True, related_name="+")

    objects = ForgettingHoldQuerySet.as_manager()

    class Meta:
        ordering = ["-until_on"]
        constraints = [
            models.CheckConstraint(
                condition=~Q(reason=""),
                name="hold_says_why",
                violation_error_message=_("Say why the records are still needed."),
            ),
            both_or_neither(
                "released_at",
                "released_by",
                name="hold_released_by_someone",
                sentence=_("Say who released the hold."),
            ),
        ]

    def __str__(self) -> str:
        return f"household {self.household_id} until {self.until_on}"


class ForgottenQuerySet(models.QuerySet["Forgotten"]):
    def newest_first(self) -> "ForgottenQuerySet":
        return self.order_by("-forgotten_at", "-pk").select_related("forgotten_by")

    def keys(self) -> set[uuid.UUID]:
        return set(self.values_list("key", flat=True))


class Forgotten(models.Model):
    """One act of forgetting: whose numbers, when, under which schedule, and how much was destroyed.

    Only numbers and counts stand here. Rows are never changed or removed.
    """

    class Schedule(models.TextChoices):
        ASKED = "asked", _("they asked for it")
        RETENTION = "retention", _("the retention date has passed")
        CLOSING = "closing", _("the programme was closed")

    # Names the act in the list beside the database as well, so that a restore does each once.
    key = models.UUIDField(unique=True)
    people = models.JSONField(default=list, blank=True)
    homes = models.JSONField(default=list, blank=True)
    schedule = models.CharField(_("why"), max_length=10, choices=Schedule.choices)
    destroyed = models.JSONField(default=dict, blank=True)
    forgotten_at = models.DateTimeField(_("when"))
    forgotten_by = models.ForeignKey(StaffMember, models.PROTECT, null=True, blank=True, related_name="+")
    is_repeated = models.BooleanField(default=False)

    objects = ForgottenQuerySet.as_manager()

    class Meta:
        ordering = ["-forgotten_at"]
        constraints = [
            models.CheckConstraint(
                condition=~Q(people=[]) | ~Q(homes=[]),
                name="forgotten_is_someone",
                violation_error_message=_("Say who is forgotten."),
            ),
        ]

    def __str__(self) -> str:
        return f"forgotten {self.forgotten_at:%Y-%m-%d}"
