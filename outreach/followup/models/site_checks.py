"""Site checks: someone saw, or did not see, the bin in use."""

from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from outreach.bins.models import Pause
from outreach.followup.models.weighing import MOST_SEED
from outreach.followup.site_check_phrases import SiteCheckListQuerySet, SiteCheckQuerySet
from outreach.households.models import Household
from outreach.places.models import Jurisdiction
from outreach.staff.constraints import both_or_neither, within
from outreach.staff.models import StaffMember

MOST_VISITS = 1_000


class SiteCheckList(models.Model):
    """Households drawn at random to be visited: of which place, how many, from how many, under which seed."""

    name = models.CharField(_("name"), max_length=80, unique=True)
    jurisdiction = models.ForeignKey(
        Jurisdiction, models.PROTECT, null=True, blank=True, related_name="+", verbose_name=_("jurisdiction")
    )
    size = models.PositiveIntegerField(_("households to visit"))
    seed = models.PositiveIntegerField(_("seed of the draw"))
    # The day on which the households drawn from had a bin in use, and how many they were.
    drawn_on = models.DateField(_("drawn on"))
    drawn_from = models.PositiveIntegerField()
    drawn_at = models.DateTimeField()
    drawn_by = models.ForeignKey(StaffMember, models.PROTECT, null=True, blank=True, related_name="+")

    objects = SiteCheckListQuerySet.as_manager()

    class Meta:
        ordering = ["-drawn_at", "-pk"]
        constraints = [
            within(
                "size",
                1,
                MOST_VISITS,
                name="site_check_list_size",
                sentence=_("A list has from 1 to 1000 households to visit."),
            ),
            within(
                "seed",
                0,
                MOST_SEED,
                name="site_check_list_seed",
                sentence=_("A seed is a whole number from 0 to 999999999."),
            ),
            models.CheckConstraint(
                condition=Q(drawn_from__gte=F("size")),
                name="site_check_list_from_enough",
                violation_error_message=_(
                    "There are not that many households with a bin in use. Ask for fewer."
                ),
            ),
        ]

    def __str__(self) -> str:
        return self.name


class SiteCheck(models.Model):
    """One household to be visited, or visited: what was seen of its bin, by whom, on which day."""

    class Outcome(models.TextChoices):
        TO_VISIT = "to_visit", _("to visit")
        IN_USE = "in_use", _("seen in use")
        NOT_IN_USE = "not_in_use", _("seen not in use")
        NOT_FOUND = "not_found", _("bin not found")
        NOBODY_HOME = "nobody_home", _("nobody home")
        DECLINED = "declined", _("declined")

    list = models.ForeignKey(
        SiteCheckList, models.PROTECT, null=True, blank=True, related_name="checks", verbose_name=_("list")
    )
    # Its place in the draw, from 1; none outside a draw.
    place = models.PositiveIntegerField(null=True, blank=True)
    household = models.ForeignKey(Household, models.PROTECT, related_name="+")
    counted_under = models.ForeignKey(Household, models.PROTECT, related_name="+")
    outcome = models.CharField(
        _("what was seen"), max_length=12, choices=Outcome.choices, default=Outcome.TO_VISIT
    )
    checked_on = models.DateField(_("visited on"), null=True, blank=True)
    seen_by = models.CharField(_("visited by"), max_length=80, blank=True)
    note = models.CharField(_("note"), max_length=300, blank=True)
    entered_at = models.DateTimeField(null=True, blank=True)
    entered_by = models.ForeignKey(StaffMember, models.PROTECT, null=True, blank=True, related_name="+")
    # The end of use that this check brought about.
    pause = models.OneToOneField(Pause, models.PROTECT, null=True, blank=True, related_name="+")

    objects = SiteCheckQuerySet.as_manager()

    class Meta:
        ordering = ["list", "place", "pk"]
        indexes = [models.Index(fields=["counted_under", "checked_on"], name="site_check_by_household")]
        constraints = [
            models.UniqueConstraint(
                fields=["list", "household"],
                name="site_check_once_a_list",
                violation_error_message=_("This household is already on the list."),
            ),
            models.UniqueConstraint(
                fields=["household", "checked_on"],
                condition=Q(list__isnull=True),
                name="site_check_once_a_day",
                violation_error_message=_("A site check of this household on this day is already recorded."),
            ),
            both_or_neither(
                "list",
                "place",
                name="site_check_drawn_has_a_place",
                sentence=_("A household on a drawn list has its place in the draw."),
            ),
            models.CheckConstraint(
                condition=Q(outcome="to_visit", checked_on__isnull=True, seen_by="", list__isnull=False)
                | ~Q(outcome="to_visit") & Q(checked_on__isnull=False) & ~Q(seen_by=""),
                name="site_check_says_who_and_when",
                violation_error_message=_("Say what was seen, on which day and by whom."),
            ),
            models.CheckConstraint(
                condition=Q(pause__isnull=True) | Q(outcome="not_in_use"),
                name="site_check_ends_use_only_if_seen",
                violation_error_message=_("Only a bin seen not in use ends its use."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.household}: {self.get_outcome_display()}"

    @property
    def is_drawn(self) -> bool:
        return self.list_id is not None

    @property
    def was_seen(self) -> bool:
        """The bin, or that it is not used, was seen."""
        return self.outcome in (self.Outcome.IN_USE, self.Outcome.NOT_IN_USE)
