"""Which household got which bin when, under which rule, and for how long it was in use."""

import uuid
from datetime import date

from django.db import models
from django.db.models import F, Q
from django.utils.formats import date_format
from django.utils.translation import gettext_lazy as _

from outreach.bins.models.rules import RuleException
from outreach.bins.models.stock import BinModel, BinOrder
from outreach.funding.models import FundingSource
from outreach.households.models import Household, Participant
from outreach.places.models import Jurisdiction
from outreach.staff.constraints import both_or_neither, not_before
from outreach.staff.models import StaffMember
from outreach.workshops.models import Workshop

# `date.toordinal()` of no day at all: a stay that goes on, an answer that none has followed.
NO_END_DAY = 9_999_999


class HandoutQuerySet(models.QuerySet["Handout"]):
    def standing(self) -> "HandoutQuerySet":
        return self.filter(voided_at__isnull=True)

    def from_day(self, first_day: date) -> "HandoutQuerySet":
        return self.filter(handed_on__gte=first_day)

    def handed_between(self, first_day: date, last_day: date) -> "HandoutQuerySet":
        return self.filter(handed_on__range=(first_day, last_day))

    def of_model(self, bin_model_id: int) -> "HandoutQuerySet":
        return self.filter(bin_model=bin_model_id)

    def with_bin_out(self) -> "HandoutQuerySet":
        """Those whose bin did not come back to a shelf, from where it goes out again; scrap is no shelf."""
        back = models.Q(movements__why="taken_back", movements__to_place__kind="store")
        return self.standing().exclude(pk__in=self.model.objects.filter(back).values("pk"))

    def at(self, workshop: Workshop) -> "HandoutQuerySet":
        return self.filter(workshop=workshop)

    def with_details(self) -> "HandoutQuerySet":
        """What a list of handouts prints, read with the handouts."""
        return self.select_related(
            "household",
            "participant",
            "bin_model",
            "workshop__venue",
            "exception",
            "stock_exception",
            "replaces",
        ).with_whether_replaced()

    def with_who_allowed(self) -> "HandoutQuerySet":
        """With their exceptions and who allowed them at hand."""
        return self.select_related("bin_model", "exception__allowed_by", "stock_exception__allowed_by")

    def with_whether_replaced(self) -> "HandoutQuerySet":
        """Each with `is_replaced`: a standing handout points at it."""
        newer = Handout.objects.standing().filter(replaces=models.OuterRef("pk"))
        return self.annotate(is_replaced=models.Exists(newer))  # type: ignore[no-redef]

    def counted_for_any(self, root_ids: object) -> "HandoutQuerySet":
        return self.filter(counted_under__in=root_ids)

    def not_returned(self) -> "HandoutQuerySet":
        return self.filter(returned_on__isnull=True)

    def in_state(self, state: str) -> "HandoutQuerySet":
        """Standing, exception, returned or voided, as the list of handouts narrows them."""
        match state:
            case "voided":
                return self.filter(voided_at__isnull=False)
            case "returned":
                return self.standing().filter(returned_on__isnull=False)
            case "exception":
                return self.standing().filter(Q(exception__isnull=False) | Q(stock_exception__isnull=False))
            case _:
                return self.standing()

    def numbered(self, numbers: object) -> "HandoutQuerySet":
        return self.filter(pk__in=numbers)

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

    class How(models.TextChoices):
        """In which way it went to the household."""

        WORKSHOP = "workshop", _("at a workshop")
        OFFICE = "office", _("at the office")
        DELIVERY = "delivery", _("delivered")
        NOT_SAID = "", _("not said")

    event_id = models.UUIDField(unique=True, default=uuid.uuid4)
    household = models.ForeignKey(Household, models.PROTECT, related_name="+")
    counted_under = models.ForeignKey(Household, models.PROTECT, related_name="+")
    participant = models.ForeignKey(Participant, models.PROTECT, null=True, blank=True, related_name="+")
    workshop = models.ForeignKey(Workshop, models.PROTECT, null=True, blank=True, related_name="+")
    bin_model = models.ForeignKey(BinModel, models.PROTECT, related_name="handouts")
    how = models.CharField(_("how it went out"), max_length=10, choices=How.choices, blank=True)
    # Someone who is not of the household and took the bin along for it.
    picked_up_by = models.CharField(_("picked up by another person"), max_length=200, blank=True)
    lot = models.CharField(_("lot"), max_length=60, blank=True)
    # The order it came from, first in first out; none where the ledger had no bin of an order left.
    order = models.ForeignKey(BinOrder, models.PROTECT, null=True, blank=True, related_name="+")
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
    # Known of handouts that were read `with_whether_replaced`.
    is_replaced: bool

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
                condition=Q(workshop__isnull=True) | Q(how__in=("workshop", "")),
                name="handout_at_a_workshop_or_elsewhere",
                violation_error_message=_(
                    "A bin that went out at the office or was delivered belongs to no workshop."
                ),
            ),
            models.CheckConstraint(
                condition=Q(replaces__isnull=True) | ~Q(replaces=F("id")),
                name="handout_replaces_another",
                violation_error_message=_("A bin cannot replace itself."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.bin_model}, {date_format(self.handed_on, 'j F Y')}"

    @property
    def wants_person(self) -> bool:
        """It stands outside the rule or the ledger and nobody has said why."""
        flags = (self.exception, self.stock_exception)
        return self.voided_at is None and any(flag is not None and not flag.reason for flag in flags)


class Stay(models.Model):
    """How long a household had a bin in use. Days are `date.toordinal()`; until is the day after the last."""

    class Ended(models.TextChoices):
        RETURNED = "returned", _("bin returned")
        MOVED = "moved", _("moved out")
        REMOVED = "removed", _("bin removed")
        STOPPED = "stopped", _("stopped, as known from outside the waves")
        PAUSED = "paused", _("paused, as known from outside the waves")

    household = models.ForeignKey(Household, models.PROTECT, related_name="+")
    counted_under = models.ForeignKey(Household, models.PROTECT, related_name="+")
    # The family of the bin it began with, the stratum it counts in.
    family = models.CharField(max_length=12, choices=BinModel.Family.choices)
    # What paid for that bin; a column of its index, so it needs none of its own.
    funding_source = models.ForeignKey(
        FundingSource, models.PROTECT, null=True, blank=True, related_name="+", db_index=False
    )
    from_day = models.PositiveIntegerField()
    until_day = models.PositiveIntegerField(default=NO_END_DAY)
    ended_because = models.CharField(max_length=12, choices=Ended.choices, blank=True)

    class Meta:
        ordering = ["counted_under", "from_day"]
        indexes = [
            # With the family, so that a filing's sums are made from the index alone.
            models.Index(
                fields=["counted_under", "from_day", "until_day", "family", "funding_source"],
                name="stay_by_household",
            ),
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
