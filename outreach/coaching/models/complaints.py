"""Complaints that an authority passed on."""

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from outreach.coaching.models.requests import HelpRequest
from outreach.staff.constraints import not_before


class Complaint(models.Model):
    """What an authority wrote about one case: its number, what it ordered, and what came of that."""

    class Outcome(models.TextChoices):
        IN_ORDER = "in_order", _("found in order")
        MENDED = "mended", _("ordered action was taken")
        REMOVED = "removed", _("bin was taken away")
        HANDED_ON = "handed_on", _("handed to another authority")

    help_request = models.OneToOneField(HelpRequest, models.PROTECT, related_name="complaint")
    authority = models.CharField(
        _("authority"), max_length=120, help_text=_("Such as vector control or code enforcement.")
    )
    case_number = models.CharField(_("case number"), max_length=60)
    received_on = models.DateField(_("received on"))
    ordered_action = models.TextField(_("ordered action"), max_length=1000, blank=True)
    ordered_by_on = models.DateField(_("to be done by"), null=True, blank=True)
    outcome = models.CharField(_("outcome"), max_length=10, choices=Outcome.choices, blank=True)
    reported_back_on = models.DateField(_("reported back on"), null=True, blank=True)

    class Meta:
        ordering = ["received_on"]
        constraints = [
            models.UniqueConstraint(
                fields=["authority", "case_number"],
                name="complaint_one_per_case",
                violation_error_message=_("This case of the authority is already recorded. Open that one."),
            ),
            models.CheckConstraint(
                condition=~Q(case_number="") & ~Q(authority=""),
                name="complaint_has_a_case_number",
                violation_error_message=_("Give the authority and its case number."),
            ),
            not_before(
                "ordered_by_on",
                "received_on",
                name="complaint_ordered_for_a_later_day",
                sentence=_("What was ordered is to be done after the complaint came in."),
            ),
            not_before(
                "reported_back_on",
                "received_on",
                name="complaint_reported_after_it_came",
                sentence=_("A complaint is reported back after it came in."),
            ),
            models.CheckConstraint(
                condition=Q(reported_back_on__isnull=True) | ~Q(outcome=""),
                name="complaint_reported_with_an_outcome",
                violation_error_message=_("Say what was found before you report back."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.authority}, {self.case_number}"
