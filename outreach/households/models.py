"""Households, the people in them, what links them, and merges that can be undone."""

from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from outreach.households.querysets import (
    DuplicateRulingQuerySet,
    HouseholdMergeQuerySet,
    HouseholdQuerySet,
    ParticipantQuerySet,
)
from outreach.places.models import District, Jurisdiction
from outreach.staff.constraints import both_or_neither, not_before
from outreach.staff.models import StaffMember


class Household(models.Model):
    """One dwelling while the same people live there: street address plus unit, from - until.

    The unit of eligibility and of every estimate. New people at the address are a new household.
    """

    class BinAfterMove(models.TextChoices):
        CAME_ALONG = "came_along", _("came along")
        LEFT_BEHIND = "left_behind", _("left behind")
        RETURNED = "returned", _("returned")
        UNKNOWN = "unknown", _("unknown")

    class Composting(models.TextChoices):
        NEW = "new", _("new to composting")
        PRIOR = "prior", _("composted before")
        NOT_SAID = "not_said", _("not said")

    street = models.CharField(_("street address"), max_length=200)
    unit = models.CharField(_("unit"), max_length=40, blank=True)
    city_name = models.CharField(_("city"), max_length=120, blank=True)
    zip_code = models.CharField(_("ZIP"), max_length=5, blank=True)
    # Street and ZIP (or city where no ZIP is known) in the spelling of USPS Publication 28.
    address_key = models.CharField(max_length=240, editable=False)
    # The street alone, for paperwork that names no city.
    street_key = models.CharField(max_length=200, editable=False, db_index=True)
    unit_key = models.CharField(max_length=40, blank=True, editable=False)
    jurisdiction = models.ForeignKey(
        Jurisdiction, models.PROTECT, null=True, blank=True, related_name="+", verbose_name=_("jurisdiction")
    )
    district = models.ForeignKey(
        District, models.PROTECT, null=True, blank=True, related_name="+", verbose_name=_("district")
    )
    language = models.CharField(_("language"), max_length=5, blank=True)
    composting_before = models.CharField(
        _("composting before the bin"),
        max_length=10,
        choices=Composting.choices,
        default=Composting.NOT_SAID,
    )
    began_on = models.DateField(_("known since"))
    ended_on = models.DateField(_("moved out on"), null=True, blank=True)
    bin_after_move = models.CharField(
        _("what became of the bin"), max_length=12, choices=BinAfterMove.choices, blank=True
    )
    merged_into = models.ForeignKey("self", models.PROTECT, null=True, blank=True, related_name="absorbed")
    note = models.TextField(_("note"), blank=True)

    objects = HouseholdQuerySet.as_manager()

    class Meta:
        ordering = ["street_key", "unit_key"]
        indexes = [models.Index(fields=["jurisdiction", "district"])]
        constraints = [
            models.UniqueConstraint(
                fields=["address_key", "unit_key"],
                condition=Q(ended_on__isnull=True, merged_into__isnull=True),
                name="household_one_per_address",
                violation_error_message=_(
                    "A household at this address and unit is already recorded. Open that one, "
                    "or record that it moved out."
                ),
            ),
            not_before(
                "ended_on",
                "began_on",
                name="household_ends_after_it_began",
                sentence=_("A household cannot move out before it was known."),
            ),
            models.CheckConstraint(
                condition=Q(ended_on__isnull=True) | ~Q(bin_after_move=""),
                name="household_move_says_what_became_of_the_bin",
                violation_error_message=_("Say what became of the bin when they moved out."),
            ),
            models.CheckConstraint(
                condition=Q(merged_into__isnull=True) | ~Q(merged_into=F("id")),
                name="household_not_merged_into_itself",
                violation_error_message=_("A household cannot be merged into itself."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.street} {self.unit}".strip()

    @property
    def people(self) -> "list[Participant]":
        """Its people and those of the records merged into it, each once."""
        records = [self, *self.absorbed.all()]
        met = [person for record in records for person in record.participants.all()]
        numbers = {person.pk for person in met}
        return [person for person in met if person.same_person_as_id not in numbers]

    @property
    def counted_under(self) -> "Household":
        """The household this one's rows count under: the root of its merges."""
        return self if self.merged_into is None else self.merged_into.counted_under


class Participant(models.Model):
    """One person of a household."""

    household = models.ForeignKey(Household, models.PROTECT, related_name="participants")
    full_name = models.CharField(_("name"), max_length=200)
    # Given and family name in order, folded; 'Last, First' and capitals meet here.
    name_key = models.CharField(max_length=200, editable=False, db_index=True)
    email = models.EmailField(_("e-mail"), blank=True)
    phone = models.CharField(_("phone"), max_length=40, blank=True)
    # Digits only, for finding the same phone written otherwise.
    phone_key = models.CharField(max_length=20, blank=True, editable=False, db_index=True)
    language = models.CharField(_("language"), max_length=5, blank=True)
    # The same person met in two households, linked by hand: counted once, under the person named here.
    same_person_as = models.ForeignKey(
        "self", models.PROTECT, null=True, blank=True, related_name="also_recorded_as"
    )
    first_seen_on = models.DateField(_("first seen on"))
    note = models.TextField(_("note"), blank=True)

    objects = ParticipantQuerySet.as_manager()

    class Meta:
        ordering = ["name_key"]
        indexes = [models.Index(fields=["email"])]
        constraints = [
            models.UniqueConstraint(
                fields=["household", "name_key"],
                name="participant_once_per_household",
                violation_error_message=_("Someone of this name is already recorded in the household."),
            ),
            models.CheckConstraint(
                condition=Q(same_person_as__isnull=True) | ~Q(same_person_as=F("id")),
                name="participant_not_linked_to_itself",
                violation_error_message=_("A person cannot be linked to themselves."),
            ),
        ]

    def __str__(self) -> str:
        return self.full_name


class HouseholdMerge(models.Model):
    """One merge of a household into another: what it set, so that it can be set back."""

    kept = models.ForeignKey(Household, models.PROTECT, related_name="+")
    absorbed = models.ForeignKey(Household, models.PROTECT, related_name="+")
    reason = models.CharField(_("reason"), max_length=300)
    merged_at = models.DateTimeField()
    merged_by = models.ForeignKey(StaffMember, models.PROTECT, related_name="+")
    # What each handler set, by handler name, as it needs it to set things back.
    what_was_set = models.JSONField(default=dict, blank=True, editable=False)
    undone_at = models.DateTimeField(null=True, blank=True)
    undone_by = models.ForeignKey(StaffMember, models.PROTECT, null=True, blank=True, related_name="+")

    objects = HouseholdMergeQuerySet.as_manager()

    class Meta:
        ordering = ["-merged_at"]
        constraints = [
            models.CheckConstraint(
                condition=~Q(kept=F("absorbed")),
                name="merge_of_two_households",
                violation_error_message=_("Choose two different households to merge."),
            ),
            models.UniqueConstraint(
                fields=["absorbed"],
                condition=Q(undone_at__isnull=True),
                name="merge_absorbs_once",
                violation_error_message=_("This household is already merged into another."),
            ),
            both_or_neither(
                "undone_at",
                "undone_by",
                name="merge_undone_by_someone",
                sentence=_("Say who undid the merge."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.absorbed} into {self.kept}"


class DuplicateRuling(models.Model):
    """Someone looked at two likely-duplicate records and said they are different."""

    class Kind(models.TextChoices):
        HOUSEHOLD = "household", _("household")
        PARTICIPANT = "participant", _("participant")

    kind = models.CharField(max_length=12, choices=Kind.choices)
    left_id_number = models.BigIntegerField()
    right_id_number = models.BigIntegerField()
    ruled_at = models.DateTimeField()
    ruled_by = models.ForeignKey(StaffMember, models.PROTECT, related_name="+")

    objects = DuplicateRulingQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["kind", "left_id_number", "right_id_number"],
                name="duplicate_ruled_once",
                violation_error_message=_("Someone has already ruled on this pair."),
            ),
            models.CheckConstraint(
                condition=Q(left_id_number__lt=F("right_id_number")),
                name="duplicate_pair_in_order",
                violation_error_message=_("A pair is two different records, the earlier first."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.left_id_number} is not {self.right_id_number}"


# The last models of this app live in modules of their own; Django finds them through this one.
from outreach.households.consent_models import Consent  # noqa: E402, F401
from outreach.households.forgotten_models import ForgettingHold, Forgotten  # noqa: E402, F401
from outreach.households.retention_models import RetentionRun, RetentionSchedule  # noqa: E402, F401
