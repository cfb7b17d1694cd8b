"""Which household got which bin when, under which rule, and for how long it was in use."""

import uuid
from datetime import date

from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from outreach.bins.models.stock import BinModel
from outreach.households.models import Household, Participant
from outreach.places.models import Jurisdiction
from outreach.staff.constraints import both_or_neither, not_before
from outreach.staff.models import StaffMember
from outreach.workshops.models import Workshop

# `date.toordinal()` of no day at all: a stay that goes on, an answer that none has followed.
NO_END_DAY = 9_999_999


class RuleVersionQuerySet(models.QuerySet["RuleVersion"]):
    def in_force(self, on: date) -> "RuleVersionQuerySet":
        """Versions that had begun by then, the newest first."""
        return self.filter(in_force_from_on__lte=on).order_by("-in_force_from_on", "-id")


class RuleVersion(models.Model):
    """How many subsidised bins a household may have in which window, who may, since when."""

    class Window(models.TextChoices):
        EVER = "ever", _("ever")
        CALENDAR_YEAR = "calendar_year", _("per calendar year")
        FISCAL_YEAR = "fiscal_year", _("per fiscal year")
        SINCE = "since", _("since a set day")

    jurisdiction = models.ForeignKey(
        Jurisdiction,
        models.PROTECT,
        null=True,
        blank=True,
        related_name="+",
        help_text=_("Leave empty for every jurisdiction."),
    )
    in_force_from_on = models.DateField(_("in force from"))
    allowance = models.CharField(_("allowance"), max_length=40, default="bin")
    slots = models.PositiveSmallIntegerField(_("bins per household"), default=1)
    window = models.CharField(
        _("in which window"), max_length=15, choices=Window.choices, default=Window.EVER
    )
    window_from_on = models.DateField(_("window starts on"), null=True, blank=True)
    served_places_only = models.BooleanField(_("only households in places served"), default=True)
    return_frees_slot = models.BooleanField(_("a returned bin gives the place back"), default=False)
    earlier_bins_count = models.BooleanField(_("bins under an earlier rule count"), default=True)
    note = models.CharField(_("note"), max_length=300, blank=True)

    objects = RuleVersionQuerySet.as_manager()

    class Meta:
        ordering = ["-in_force_from_on"]
        constraints = [
            models.CheckConstraint(
                condition=Q(slots__gte=1),
                name="rule_allows_at_least_one",
                violation_error_message=_("A rule allows at least one bin."),
            ),
            models.CheckConstraint(
                condition=~Q(window="since") | Q(window_from_on__isnull=False),
                name="rule_window_has_a_day",
                violation_error_message=_("Give the day on which the window starts."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.slots} per household, {self.get_window_display()}"


class RuleExceptionQuerySet(models.QuerySet["RuleException"]):
    def without_reason(self) -> "RuleExceptionQuerySet":
        return self.filter(reason="")


class RuleException(models.Model):
    """A handout outside the rule or the ledger, with the reason and who gave it."""

    class Kind(models.TextChoices):
        SECOND_BIN = "second_bin", _("a second bin for the household")
        OUTSIDE_AREA = "outside_area", _("a resident of elsewhere")
        NONE_ON_LEDGER = "none_on_ledger", _("the ledger said none were left")
        MERGED = "merged", _("two households turned out to be one")

    kind = models.CharField(max_length=15, choices=Kind.choices)
    about = models.CharField(max_length=300)
    household = models.ForeignKey(Household, models.PROTECT, null=True, blank=True, related_name="+")
    flagged_at = models.DateTimeField()
    flagged_by = models.ForeignKey(StaffMember, models.PROTECT, null=True, blank=True, related_name="+")
    reason = models.CharField(_("reason"), max_length=300, blank=True)
    reasoned_at = models.DateTimeField(null=True, blank=True)
    allowed_by = models.ForeignKey(StaffMember, models.PROTECT, null=True, blank=True, related_name="+")

    objects = RuleExceptionQuerySet.as_manager()

    class Meta:
        ordering = ["-flagged_at"]
        constraints = [
            models.CheckConstraint(
                condition=Q(reason="") | Q(reasoned_at__isnull=False, allowed_by__isnull=False),
                name="exception_reason_has_someone",
                violation_error_message=_("A reason needs who allowed it, and when."),
            ),
            both_or_neither(
                "reasoned_at",
                "allowed_by",
                name="exception_allowed_by_someone",
                sentence=_("Say who allowed the exception."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_kind_display()}: {self.about}"


class HandoutQuerySet(models.QuerySet["Handout"]):
    def standing(self) -> "HandoutQuerySet":
        return self.filter(voided_at__isnull=True)

    def handed_between(self, first_day: date, last_day: date) -> "HandoutQuerySet":
        return self.filter(handed_on__range=(first_day, last_day))

    def counted_for(self, household: Household) -> "HandoutQuerySet":
        return self.filter(counted_under=household)

    def in_area_of(self, jurisdiction: Jurisdiction) -> "HandoutQuerySet":
        """Those to its households, and those at its workshops to households of no place served."""
        return self.filter(
            Q(counted_under__jurisdiction=jurisdiction)
            | Q(counted_under__jurisdiction__isnull=True, workshop__jurisdiction=jurisdiction)
        )


class Handout(models.Model):
    """One bin (or part, as a replacement) given to one household on one day."""

    event_id = models.UUIDField(unique=True, default=uuid.uuid4)
    household = models.ForeignKey(Household, models.PROTECT, related_name="+")
    counted_under = models.ForeignKey(Household, models.PROTECT, related_name="+")
    participant = models.ForeignKey(Participant, models.PROTECT, null=True, blank=True, related_name="+")
    workshop = models.ForeignKey(Workshop, models.PROTECT, null=True, blank=True, related_name="+")
    bin_model = models.ForeignKey(BinModel, models.PROTECT, related_name="handouts")
    lot = models.CharField(_("lot"), max_length=60, blank=True)
    handed_on = models.DateField(_("handed out on"))
    happened_at = models.DateTimeField()
    is_subsidised = models.BooleanField(_("subsidised"), default=True)
    copay_cents = models.PositiveIntegerField(_("co-pay taken, cents"), default=0)
    # The place it takes in the rule: one of `slots` in the window, unique per household.
    allowance = models.CharField(max_length=40, blank=True)
    window_from_on = models.DateField(null=True, blank=True)
    slot = models.PositiveSmallIntegerField(null=True, blank=True)
    slots = models.PositiveSmallIntegerField(null=True, blank=True)
    replaces = models.ForeignKey("self", models.PROTECT, null=True, blank=True, related_name="replaced_by")
    exception = models.ForeignKey(
        RuleException, models.PROTECT, null=True, blank=True, related_name="handouts"
    )
    # The shelf was empty in the ledger; a second exception a handout can have.
    stock_exception = models.ForeignKey(
        RuleException, models.PROTECT, null=True, blank=True, related_name="stock_handouts"
    )
    returned_on = models.DateField(null=True, blank=True)
    voided_at = models.DateTimeField(null=True, blank=True)
    voided_by = models.ForeignKey(StaffMember, models.PROTECT, null=True, blank=True, related_name="+")
    void_reason = models.CharField(max_length=300, blank=True)
    entered_at = models.DateTimeField()
    entered_by = models.ForeignKey(StaffMember, models.PROTECT, null=True, blank=True, related_name="+")
    note = models.CharField(_("note"), max_length=300, blank=True)

    objects = HandoutQuerySet.as_manager()

    class Meta:
        ordering = ["-handed_on", "-id"]
        indexes = [models.Index(fields=["counted_under", "handed_on"])]
        constraints = [
            models.UniqueConstraint(
                fields=["counted_under", "allowance", "window_from_on", "slot"],
                condition=Q(slot__isnull=False),
                name="handout_one_per_slot",
                violation_error_message=_(
                    "This household already has the bin that the rule allows. A further one needs a reason."
                ),
            ),
            models.CheckConstraint(
                condition=Q(slot__isnull=True)
                | Q(
                    slot__gte=1,
                    slot__lte=F("slots"),
                    slots__isnull=False,
                    window_from_on__isnull=False,
                ),
                name="handout_slot_within_the_rule",
                violation_error_message=_("The rule does not allow that many bins."),
            ),
            models.CheckConstraint(
                condition=Q(slot__isnull=False)
                | Q(replaces__isnull=False)
                | Q(exception__isnull=False)
                | Q(voided_at__isnull=False)
                # Brought back, under a rule that gives the place back.
                | Q(returned_on__isnull=False)
                | Q(is_subsidised=False),
                name="handout_in_the_rule_or_says_why",
                violation_error_message=_(
                    "A subsidised bin takes a place in the rule, replaces another, or has an exception."
                ),
            ),
            models.CheckConstraint(
                condition=Q(slot__isnull=True) | Q(voided_at__isnull=True),
                name="handout_voided_frees_its_slot",
                violation_error_message=_("A voided handout holds no place in the rule."),
            ),
            both_or_neither(
                "voided_at", "voided_by", name="handout_voided_by_someone", sentence=_("Say who voided it.")
            ),
            not_before(
                "returned_on",
                "handed_on",
                name="handout_returned_after_handed",
                sentence=_("A bin cannot come back before it was handed out."),
            ),
            models.CheckConstraint(
                condition=Q(replaces__isnull=True) | ~Q(replaces=F("id")),
                name="handout_replaces_another",
                violation_error_message=_("A bin cannot replace itself."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.bin_model} to {self.household} on {self.handed_on}"


class Stay(models.Model):
    """How long a household had a bin in use. Days are `date.toordinal()`; until is the day after the last."""

    class Ended(models.TextChoices):
        RETURNED = "returned", _("bin returned")
        MOVED = "moved", _("moved out")
        REMOVED = "removed", _("bin removed")
        STOPPED = "stopped", _("stopped, as known from outside the waves")

    household = models.ForeignKey(Household, models.PROTECT, related_name="+")
    counted_under = models.ForeignKey(Household, models.PROTECT, related_name="+")
    # The family of the bin it began with, the stratum it counts in.
    family = models.CharField(max_length=12, choices=BinModel.Family.choices)
    from_day = models.PositiveIntegerField()
    until_day = models.PositiveIntegerField(default=NO_END_DAY)
    ended_because = models.CharField(max_length=12, choices=Ended.choices, blank=True)

    class Meta:
        ordering = ["counted_under", "from_day"]
        indexes = [
            models.Index(fields=["counted_under", "from_day", "until_day"], name="stay_by_household"),
        ]
        constraints = [
            models.UniqueConstraint(
                fields=["counted_under"],
                condition=Q(until_day=NO_END_DAY),
                name="stay_one_open",
                violation_error_message=_("This household already has a bin in use."),
            ),
            models.CheckConstraint(
                condition=Q(from_day__lt=F("until_day")),
                name="stay_lasts_a_day",
                violation_error_message=_("A bin is in use for at least a day."),
            ),
            models.CheckConstraint(
                condition=Q(until_day=NO_END_DAY) | ~Q(ended_because=""),
                name="stay_end_has_a_reason",
                violation_error_message=_("Say why the bin is no longer in use."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.household} {self.from_day}-{self.until_day}"
