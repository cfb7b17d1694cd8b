"""What was done about a help request: calls, advice, letters, visits."""

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from outreach.coaching.models.requests import HelpRequest
from outreach.staff.models import StaffMember


class HelpStep(models.Model):
    """One call, piece of advice, letter or question about a help request, on one day."""

    class Kind(models.TextChoices):
        CALL = "call", _("call")
        NOT_REACHED = "not_reached", _("call, nobody reached")
        ADVICE_SAID = "advice_said", _("advice given in person or by phone")
        ADVICE_SENT = "advice_sent", _("advice sent")
        ADVICE_PRINTED = "advice_printed", _("advice printed")
        LETTER = "letter", _("letter printed")
        OUTCOME_ASKED = "outcome_asked", _("outcome asked")
        OUTCOME_TOLD = "outcome_told", _("outcome told")
        NOTE = "note", _("note")

    ADVICE = (Kind.ADVICE_SAID, Kind.ADVICE_SENT, Kind.ADVICE_PRINTED)

    help_request = models.ForeignKey(HelpRequest, models.PROTECT, related_name="steps")
    kind = models.CharField(_("what was done"), max_length=14, choices=Kind.choices)
    done_on = models.DateField(_("on"))
    words = models.TextField(_("in words"), max_length=2000, blank=True)
    entered_at = models.DateTimeField()
    # None: by the programme itself, such as the question after two weeks.
    entered_by = models.ForeignKey(StaffMember, models.PROTECT, null=True, blank=True, related_name="+")

    class Meta:
        ordering = ["done_on", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=~Q(kind__in=("note", "advice_said", "outcome_told")) | ~Q(words=""),
                name="help_step_says_what",
                violation_error_message=_("Write down what was said."),
            ),
        ]

    def __str__(self) -> str:
        return str(self.get_kind_display())


class Visit(models.Model):
    """Someone went to see the bin of a help request: on which day, what they saw, what they did."""

    class BinInUse(models.TextChoices):
        YES = "yes", _("in use")
        NO = "no", _("not in use")
        NOT_SEEN = "not_seen", _("not seen")

    help_request = models.ForeignKey(HelpRequest, models.PROTECT, related_name="visits")
    visited_on = models.DateField(_("visited on"))
    visited_by = models.CharField(_("who went"), max_length=120)
    bin_in_use = models.CharField(
        _("the bin"), max_length=8, choices=BinInUse.choices, default=BinInUse.NOT_SEEN
    )
    seen = models.TextField(_("what was seen"), max_length=2000)
    done = models.TextField(_("what was done or advised"), max_length=2000, blank=True)
    entered_at = models.DateTimeField()
    entered_by = models.ForeignKey(StaffMember, models.PROTECT, related_name="+")

    class Meta:
        ordering = ["visited_on", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["help_request", "visited_on"],
                name="visit_one_a_day",
                violation_error_message=_("A visit on that day is already recorded."),
            ),
            models.CheckConstraint(
                condition=~Q(seen="") & ~Q(visited_by=""),
                name="visit_says_what_was_seen",
                violation_error_message=_("Write down who went and what was seen."),
            ),
        ]

    def __str__(self) -> str:
        return f"visit on {self.visited_on}"
