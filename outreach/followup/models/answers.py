"""What households answered, months after a bin was handed out."""

from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from outreach.bins.models.handouts import NO_END_DAY
from outreach.followup import packing
from outreach.followup.models.waves import Wave
from outreach.followup.phrases import NOT_WAITING, AnswerQuerySet
from outreach.households.models import Household, Participant
from outreach.staff.constraints import both_or_neither, within
from outreach.staff.models import StaffMember

__all__ = ["MOST_ML", "Answer"]

MOST_ML = 1_000_000


class Answer(models.Model):
    """What one household reported in one wave, or outside of any.

    Amounts are per week, food and yard apart, each as volume or as weight; none where it was not said,
    and 0 where the household stopped, whatever its words.
    `in_force_from_day` to `in_force_until_day` are the days (`date.toordinal()`) on which it is the
    household's latest counting answer; both are 0 while it waits in review or was corrected.
    """

    class Composting(models.TextChoices):
        YES = "yes", _("yes")
        ON_AND_OFF = "on_and_off", _("on and off")
        STOPPED = "stopped", _("stopped")

    class Channel(models.TextChoices):
        PAPER = "paper", _("paper form")
        EXPORT = "export", _("survey export")
        PHONE = "phone", _("phone")
        DOOR = "door", _("at a workshop")
        LINK = "link", _("e-mail link")
        POSTCARD = "postcard", _("postcard")
        SITE_CHECK = "site_check", _("at a site check")

    class Period(models.TextChoices):
        WEEK = "week", _("a week")
        MONTH = "month", _("a month")

    household = models.ForeignKey(Household, models.PROTECT, related_name="+")
    counted_under = models.ForeignKey(Household, models.PROTECT, related_name="+")
    participant = models.ForeignKey(Participant, models.PROTECT, null=True, blank=True, related_name="+")
    wave = models.ForeignKey(Wave, models.PROTECT, null=True, blank=True, related_name="+")
    channel = models.CharField(_("how it came"), max_length=10, choices=Channel.choices)
    answered_on = models.DateField(_("answered on"))
    # How often the household had been reminded by then; none where it was not asked by us.
    reminders = models.PositiveSmallIntegerField(_("reminders before it"), null=True, blank=True)
    received_on = models.DateField(_("received on"))
    entered_at = models.DateTimeField()
    entered_by = models.ForeignKey(StaffMember, models.PROTECT, null=True, blank=True, related_name="+")

    composting = models.CharField(_("still composting"), max_length=12, choices=Composting.choices)
    stopped_on = models.DateField(_("stopped on"), null=True, blank=True)
    why_stopped = models.CharField(_("why they stopped"), max_length=300, blank=True)
    food_as_written = models.CharField(_("food scraps, as written"), max_length=200, blank=True)
    food_ml_per_week = models.PositiveIntegerField(null=True, blank=True)
    food_g_per_week = models.PositiveIntegerField(null=True, blank=True)
    yard_as_written = models.CharField(_("yard trimmings, as written"), max_length=200, blank=True)
    yard_ml_per_week = models.PositiveIntegerField(null=True, blank=True)
    yard_g_per_week = models.PositiveIntegerField(null=True, blank=True)
    # What the question was about; the amounts are per week all the same.
    asked_per = models.CharField(
        _("amounts are for"), max_length=5, choices=Period.choices, default=Period.WEEK
    )
    browns_ml_per_week = models.PositiveIntegerField(null=True, blank=True)
    # Where these went before the bin, in whole percent; the rest was neither trash nor composted.
    food_trash_percent = models.PositiveSmallIntegerField(null=True, blank=True)
    food_composted_percent = models.PositiveSmallIntegerField(null=True, blank=True)
    yard_trash_percent = models.PositiveSmallIntegerField(null=True, blank=True)
    yard_composted_percent = models.PositiveSmallIntegerField(null=True, blank=True)
    before_as_written = models.CharField(_("where it went before, as written"), max_length=200, blank=True)
    problems = models.TextField(_("problems"), blank=True)
    wants_help = models.BooleanField(_("wants help"), default=False)
    harvested = models.CharField(_("compost harvested"), max_length=300, blank=True)
    remarks = models.TextField(_("remarks"), blank=True)

    # Why a person must look before it counts; stays as history once `reviewed_at` says someone has.
    review_reason = models.CharField(max_length=300, blank=True)
    reviewed_at = models.DateTimeField(null=True, blank=True)
    reviewed_by = models.ForeignKey(StaffMember, models.PROTECT, null=True, blank=True, related_name="+")
    is_current = models.BooleanField(default=True)
    corrects = models.OneToOneField(
        "self", models.PROTECT, null=True, blank=True, related_name="corrected_by"
    )
    in_force_from_day = models.PositiveIntegerField(default=0, editable=False)
    in_force_until_day = models.PositiveIntegerField(default=0, editable=False)
    # What sums over many answers take of this one; see `packing`.
    summed_as = models.GeneratedField(
        expression=packing.packed(), output_field=models.BigIntegerField(), db_persist=True
    )
    summed_food = models.GeneratedField(
        expression=packing.amount("food"), output_field=models.IntegerField(), db_persist=True
    )
    summed_yard = models.GeneratedField(
        expression=packing.amount("yard"), output_field=models.IntegerField(), db_persist=True
    )
    summed_browns = models.GeneratedField(
        expression=packing.browns(), output_field=models.IntegerField(), db_persist=True
    )

    objects = AnswerQuerySet.as_manager()

    class Meta:
        ordering = ["-answered_on", "-id"]
        indexes = [
            # Everything that a filing's sums take of an answer, so that they need not read the answers.
            models.Index(
                fields=[
                    "counted_under",
                    "in_force_from_day",
                    "in_force_until_day",
                    "summed_as",
                    "summed_food",
                    "summed_yard",
                    "summed_browns",
                ],
                name="answer_in_force",
            ),
        ]
        constraints = [
            models.UniqueConstraint(
                fields=["household", "wave"],
                condition=Q(is_current=True, wave__isnull=False),
                name="answer_one_per_wave",
                violation_error_message=_(
                    "This household has already answered this wave. Correct that answer."
                ),
            ),
            models.UniqueConstraint(
                fields=["counted_under"],
                condition=Q(in_force_until_day=NO_END_DAY),
                name="answer_one_in_force",
                violation_error_message=_("Another answer of this household is already the latest."),
            ),
            models.CheckConstraint(
                condition=Q(in_force_from_day=0, in_force_until_day=0)
                | Q(in_force_from_day__gt=0, in_force_from_day__lt=F("in_force_until_day"), is_current=True),
                name="answer_in_force_days_in_order",
                violation_error_message=_("An answer is in force from one day until a later one."),
            ),
            within(
                "food_ml_per_week",
                0,
                MOST_ML,
                name="answer_food_volume",
                sentence=_("Food scraps are from 0 to 1000 litres a week. Check the amount and its unit."),
            ),
            within(
                "food_g_per_week",
                0,
                MOST_ML,
                name="answer_food_weight",
                sentence=_("Food scraps are from 0 to 1000 kg a week. Check the amount and its unit."),
            ),
            within(
                "yard_ml_per_week",
                0,
                MOST_ML,
                name="answer_yard_volume",
                sentence=_("Yard trimmings are from 0 to 1000 litres a week. Check the amount and its unit."),
            ),
            within(
                "yard_g_per_week",
                0,
                MOST_ML,
                name="answer_yard_weight",
                sentence=_("Yard trimmings are from 0 to 1000 kg a week. Check the amount and its unit."),
            ),
            models.CheckConstraint(
                condition=Q(food_ml_per_week__isnull=True) | Q(food_g_per_week__isnull=True),
                name="answer_food_one_way",
                violation_error_message=_("Give food scraps as a volume or as a weight, not both."),
            ),
            models.CheckConstraint(
                condition=Q(yard_ml_per_week__isnull=True) | Q(yard_g_per_week__isnull=True),
                name="answer_yard_one_way",
                violation_error_message=_("Give yard trimmings as a volume or as a weight, not both."),
            ),
            models.CheckConstraint(
                condition=Q(in_force_from_day=0) | NOT_WAITING,
                name="answer_in_review_is_not_in_force",
                violation_error_message=_("An answer that waits in review is not in force."),
            ),
            models.CheckConstraint(
                condition=~Q(composting="stopped")
                | Q(food_ml_per_week=0, yard_ml_per_week=0)
                & Q(food_g_per_week__isnull=True, yard_g_per_week__isnull=True),
                name="answer_stopped_is_nothing",
                violation_error_message=_("A household that stopped composts nothing: amounts are 0."),
            ),
            both_or_neither(
                "food_trash_percent",
                "food_composted_percent",
                name="answer_food_before",
                sentence=_("Say for food scraps both how much was trash and how much was composted."),
            ),
            both_or_neither(
                "yard_trash_percent",
                "yard_composted_percent",
                name="answer_yard_before",
                sentence=_("Say for yard trimmings both how much was trash and how much was composted."),
            ),
            models.CheckConstraint(
                condition=Q(food_trash_percent__isnull=True)
                | Q(food_trash_percent__lte=100 - F("food_composted_percent")),
                name="answer_food_shares",
                violation_error_message=_("Trash and composted food scraps cannot be more than 100 percent."),
            ),
            models.CheckConstraint(
                condition=Q(yard_trash_percent__isnull=True)
                | Q(yard_trash_percent__lte=100 - F("yard_composted_percent")),
                name="answer_yard_shares",
                violation_error_message=_(
                    "Trash and composted yard trimmings cannot be more than 100 percent."
                ),
            ),
            both_or_neither(
                "reviewed_at",
                "reviewed_by",
                name="answer_reviewed_by_someone",
                sentence=_("Say who reviewed the answer."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.household} on {self.answered_on}: {self.composting}"

    @property
    def is_active(self) -> bool:
        """Still composting at all."""
        return self.composting != self.Composting.STOPPED

    @property
    def waits(self) -> bool:
        """A person must look before it counts."""
        return self.is_current and bool(self.review_reason) and self.reviewed_at is None

    @property
    def standing(self) -> str:
        """A word for its mark: for_review, settled, set_aside, restated or answered."""
        if self.is_current:
            return "for_review" if self.waits else ("settled" if self.reviewed_at else "answered")
        return "restated" if hasattr(self, "corrected_by") else "set_aside"
