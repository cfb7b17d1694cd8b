"""Calls to households that owe an answer."""

from collections.abc import Iterable
from datetime import datetime

from django.db import models
from django.utils.translation import gettext_lazy as _

from outreach.households.models import Household
from outreach.staff.models import StaffMember


class FollowUpCallQuerySet(models.QuerySet["FollowUpCall"]):
    def counted_for(self, household: Household) -> "FollowUpCallQuerySet":
        return self.filter(counted_under=household)

    def counted_for_any(self, root_ids: Iterable[int]) -> "FollowUpCallQuerySet":
        return self.filter(counted_under__in=root_ids)

    def on_calling(self) -> "FollowUpCallQuerySet":
        """Those that say whether the household may be called, the latest first."""
        said = (FollowUpCall.Reply.NOT_TO_CALL, FollowUpCall.Reply.MAY_CALL)
        return self.filter(reply__in=said).order_by("-called_at", "-pk")

    def without_reply(self, *, since: datetime) -> "FollowUpCallQuerySet":
        return self.filter(reply=FollowUpCall.Reply.NO_REPLY, called_at__gte=since)

    def roots(self) -> set[int]:
        """The households that these are counted under."""
        return set(self.order_by().values_list("counted_under", flat=True))


class FollowUpCall(models.Model):
    """One call to a household that owes an answer: when, by whom, what came of it."""

    class Reply(models.TextChoices):
        NO_REPLY = "no_reply", _("no reply")
        ANSWERED = "answered", _("answered")
        NOT_TO_CALL = "not_to_call", _("asked not to be called")
        MAY_CALL = "may_call", _("may be called again")

    household = models.ForeignKey(Household, models.PROTECT, related_name="+")
    counted_under = models.ForeignKey(Household, models.PROTECT, related_name="+")
    reply = models.CharField(_("what came of it"), max_length=12, choices=Reply.choices)
    called_at = models.DateTimeField(_("called"))
    called_by = models.ForeignKey(StaffMember, models.PROTECT, related_name="+")

    objects = FollowUpCallQuerySet.as_manager()

    class Meta:
        ordering = ["-called_at", "-id"]
        indexes = [models.Index(fields=["counted_under", "called_at"], name="follow_up_call_of_household")]
        constraints = [
            models.UniqueConstraint(
                fields=["household", "called_at"],
                name="follow_up_call_once",
                violation_error_message=_("This call is on record already."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.household}: {self.reply}"
