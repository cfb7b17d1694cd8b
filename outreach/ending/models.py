"""The end of the programme, step by step. Rows are only added, so that they are their own trail."""

from typing import Any

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from outreach.staff.models import StaffMember


class EndStepQuerySet(models.QuerySet["EndStep"]):
    def latest_of_each(self) -> "dict[str, EndStep]":
        """What was last said of each step that anything was said of."""
        return {one.step: one for one in self.order_by("pk").select_related("said_by")}


class EndStep(models.Model):
    """A step of closing the programme was done, or taken back: by whom, when, and what it came to. Append-only."""

    class Step(models.TextChoices):
        LAST_FILING = "last_filing", _("The last filing is submitted")
        SIGN_UP = "sign_up", _("Sign-up, waves and questions are closed")
        BINS = "bins", _("No bin is left in a store")
        RETENTION = "retention", _("The time for contact data runs")
        OPEN_FILES = "open_files", _("Everything is out as open files")
        CONTACT_DATA = "contact_data", _("Contact data are destroyed")

    step = models.CharField(_("step"), max_length=15, choices=Step.choices)
    is_done = models.BooleanField()
    # What was done, in numbers and digests: what undoing needs, and what the page says. Nobody's name.
    facts = models.JSONField(default=dict, blank=True)
    said_at = models.DateTimeField()
    said_by = models.ForeignKey(StaffMember, models.PROTECT, related_name="+")

    objects = EndStepQuerySet.as_manager()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(
                condition=~Q(step="contact_data") | Q(is_done=True),
                name="end_step_destroyed_stays_destroyed",
                violation_error_message=_("What was destroyed cannot be brought back."),
            ),
            models.UniqueConstraint(
                fields=["step"],
                condition=Q(step="contact_data"),
                name="end_step_destroyed_once",
                violation_error_message=_("Contact data have been destroyed already."),
            ),
        ]

    def __str__(self) -> str:
        return self.get_step_display()

    def fact(self, name: str) -> Any:
        return self.facts.get(name)
