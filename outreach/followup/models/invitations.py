"""Who was asked in which wave, how, and how often they were reminded."""

from collections.abc import Iterable
from datetime import date
from typing import TYPE_CHECKING

from django.db import models
from django.db.models import Exists, F, OuterRef, Q
from django.utils.translation import gettext_lazy as _

from outreach.followup.models.answers import Answer
from outreach.followup.models.waves import Wave
from outreach.households.models import Household
from outreach.post.models import Message
from outreach.staff.constraints import not_before

if TYPE_CHECKING:
    from outreach.households.querysets import HouseholdQuerySet


class InvitationQuerySet(models.QuerySet["Invitation"]):
    def of_wave(self, wave: Wave) -> "InvitationQuerySet":
        return self.filter(wave=wave)

    def counted_for(self, household: Household) -> "InvitationQuerySet":
        return self.filter(counted_under=household)

    def counted_for_any(self, root_ids: Iterable[int]) -> "InvitationQuerySet":
        return self.filter(counted_under__in=root_ids)

    def takes_answers(self, on: date) -> "InvitationQuerySet":
        """Those whose questions can still be answered or corrected that day."""
        return self.filter(closes_on__gte=on, wave__is_open=True)

    def over(self, on: date) -> "InvitationQuerySet":
        """Those whose last day is past."""
        return self.filter(closes_on__lt=on)

    def chased(self) -> "InvitationQuerySet":
        """Those that are still reminded, or wait for an answer to the last reminder."""
        return self.filter(settled_at__isnull=True)

    def to_remind(self) -> "InvitationQuerySet":
        """Those with a reminder left."""
        return self.chased().filter(reminders_sent__lt=F("wave__reminders"))

    def first_of_household(self) -> "InvitationQuerySet":
        """Where two records of one household were asked before they were merged, the earlier alone."""
        same = {"counted_under": OuterRef("counted_under"), "wave": OuterRef("wave")}
        return self.exclude(Exists(Invitation.objects.filter(**same, pk__lt=OuterRef("pk"))))

    def wants_postcard(self) -> "InvitationQuerySet":
        """Those whose reminders are used up, and those that neither a mail nor a letter reaches; one card each."""
        used_up = Q(reminders_sent__gte=F("wave__reminders"))
        by_phone = Q(channel__in=(Message.Channel.CALL, Message.Channel.NONE))
        return self.chased().filter(used_up | by_phone, postcard_on__isnull=True)

    def answered(self) -> "InvitationQuerySet":
        """Those whose household has answered the wave, or anything since it was asked."""
        return self.filter(self._answer_of_wave() | self._answer_since())

    def due(self, on: date) -> "InvitationQuerySet":
        """Those without an answer that can still be answered."""
        return self.takes_answers(on).exclude(self._answer_of_wave())

    def silent(self, on: date) -> "InvitationQuerySet":
        """Those that can be answered no more and were not."""
        return self.exclude(self._answer_of_wave()).exclude(closes_on__gte=on, wave__is_open=True)

    def exclude_answered(self) -> "InvitationQuerySet":
        return self.exclude(self._answer_of_wave()).exclude(self._answer_since())

    def with_answer(self) -> "InvitationQuerySet":
        """Those whose wave is answered, in review included."""
        return self.filter(self._answer_of_wave())

    def with_standing(self) -> "InvitationQuerySet":
        """Each with `has_answer`, for a list."""
        return self.with_household().annotate(has_answer=self._answer_of_wave())

    def moved(self, on: date) -> "InvitationQuerySet":
        return self.filter(counted_under__ended_on__lte=on)

    def reminders_by_wave(self) -> dict[tuple[int, int], int]:
        """How often each household (its root) has been reminded, by household and wave."""
        rows = self.order_by("reminders_sent").values_list("counted_under", "wave", "reminders_sent")
        return {(root, wave): reminders for root, wave, reminders in rows}

    def with_household(self) -> "InvitationQuerySet":
        return self.select_related("household", "counted_under__jurisdiction", "wave")

    def households(self) -> "HouseholdQuerySet":
        """The roots that these are counted under."""
        return Household.objects.filter(pk__in=self.order_by().values("counted_under"))

    @staticmethod
    def _answer_of_wave() -> Exists:
        theirs = Answer.objects.current().filter(counted_under=OuterRef("counted_under"))
        return Exists(theirs.filter(wave=OuterRef("wave")))

    @staticmethod
    def _answer_since() -> Exists:
        theirs = Answer.objects.current().filter(counted_under=OuterRef("counted_under"))
        return Exists(theirs.filter(answered_on__gte=OuterRef("opened_on")))


class Invitation(models.Model):
    """One household asked once in one wave: when, until when, by which way, reminded how often.

    `said` is what they chose in the form so far, so that they can go on or correct it.
    """

    class Because(models.TextChoices):
        ANSWERED = "answered", _("answered")
        NOT_TO_ASK = "not_to_ask", _("asked not to be asked")
        MOVED = "moved", _("moved out")
        OVER = "over", _("its time is over")

    household = models.ForeignKey(Household, models.PROTECT, related_name="+")
    counted_under = models.ForeignKey(Household, models.PROTECT, related_name="+")
    wave = models.ForeignKey(Wave, models.PROTECT, related_name="+")
    opened_on = models.DateField(_("asked on"))
    opened_at = models.DateTimeField()
    closes_on = models.DateField(_("can be answered until"))
    channel = models.CharField(_("by"), max_length=10, choices=Message.Channel.choices)
    reminders_sent = models.PositiveSmallIntegerField(_("reminders"), default=0)
    last_asked_at = models.DateTimeField(_("last asked"))
    postcard_on = models.DateField(_("postcard mailed on"), null=True, blank=True)
    # From then on nobody is reminded; the form stays open until its last day.
    settled_at = models.DateTimeField(null=True, blank=True)
    settled_because = models.CharField(max_length=10, choices=Because.choices, blank=True)
    answer = models.ForeignKey(Answer, models.PROTECT, null=True, blank=True, related_name="+")
    said = models.JSONField(default=dict, blank=True, editable=False)

    objects = InvitationQuerySet.as_manager()

    class Meta:
        ordering = ["-opened_at", "-id"]
        indexes = [models.Index(fields=["counted_under", "wave"], name="invitation_of_household")]
        constraints = [
            models.UniqueConstraint(
                fields=["household", "wave"],
                name="invitation_one_per_wave",
                violation_error_message=_("This household has been asked in this wave already."),
            ),
            models.CheckConstraint(
                condition=Q(closes_on__gte=F("opened_on")),
                name="invitation_closes_after_it_opened",
                violation_error_message=_("The last day for an answer is not before the day of asking."),
            ),
            models.CheckConstraint(
                condition=Q(last_asked_at__gte=F("opened_at")),
                name="invitation_asked_in_order",
                violation_error_message=_("A household is reminded only after it was asked."),
            ),
            not_before(
                "postcard_on",
                "opened_on",
                name="invitation_postcard_after_it_opened",
                sentence=_("A postcard is mailed only after the household was asked."),
            ),
            models.CheckConstraint(
                condition=Q(settled_at__isnull=True, settled_because="")
                | (Q(settled_at__isnull=False) & ~Q(settled_because="")),
                name="invitation_settled_for_a_reason",
                violation_error_message=_("Say when and why a household is not reminded any more."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.household}, {self.wave}"

    @property
    def is_chased(self) -> bool:
        """Whether a reminder may still go out."""
        return self.settled_at is None
