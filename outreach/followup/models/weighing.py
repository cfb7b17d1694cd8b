"""Weigh-ins: households that weigh for some weeks what they also report in containers."""

from datetime import date, timedelta

from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from outreach.followup.weighing_phrases import WeighedWeekQuerySet, WeighInQuerySet, WeighInSeasonQuerySet
from outreach.households.models import Household
from outreach.staff.constraints import both_or_neither, not_before, within
from outreach.staff.models import StaffMember

DAYS_A_WEEK = 7
MOST_WEEKS = 60
MOST_ML, MOST_G = 1_000_000, 300_000
MOST_SEED = 999_999_999


class WeighInSeason(models.Model):
    """Some weeks in which households weigh; with the seed of the draw, if recruits were drawn at random."""

    name = models.CharField(_("name"), max_length=80, unique=True)
    from_on = models.DateField(_("from"))
    weeks = models.PositiveSmallIntegerField(_("weeks"))
    seed = models.PositiveIntegerField(_("seed of the draw"), null=True, blank=True)
    # From so many households with a bin in use the recruits were drawn.
    drawn_from = models.PositiveIntegerField(null=True, blank=True)
    drawn_at = models.DateTimeField(null=True, blank=True)
    drawn_by = models.ForeignKey(StaffMember, models.PROTECT, null=True, blank=True, related_name="+")

    objects = WeighInSeasonQuerySet.as_manager()

    class Meta:
        ordering = ["-from_on", "-pk"]
        constraints = [
            within(
                "weeks",
                1,
                MOST_WEEKS,
                name="weigh_in_season_weeks",
                sentence=_("A season of weighing lasts from 1 to 60 weeks."),
            ),
            within(
                "seed",
                0,
                MOST_SEED,
                name="weigh_in_season_seed",
                sentence=_("A seed is a whole number from 0 to 999999999."),
            ),
            both_or_neither(
                "seed",
                "drawn_at",
                name="weigh_in_season_draw_says_when",
                sentence=_("Say when it was drawn."),
            ),
            both_or_neither(
                "seed",
                "drawn_from",
                name="weigh_in_season_draw_says_of_how_many",
                sentence=_("Say from how many households the recruits were drawn."),
            ),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def until_on(self) -> date:
        """Its last day."""
        return self.week_ends_on(self.weeks)

    @property
    def latest_week_entered(self) -> int:
        """The last week for which any home has an entry; 0 before the first."""
        rows = WeighedWeek.objects.of_season(self).order_by("-week")
        return rows.values_list("week", flat=True).first() or 0

    def week_begins_on(self, week: int) -> date:
        return self.from_on + timedelta(days=DAYS_A_WEEK * (week - 1))

    def week_ends_on(self, week: int) -> date:
        return self.week_begins_on(week) + timedelta(days=DAYS_A_WEEK - 1)


class WeighIn(models.Model):
    """One household asked to weigh in a season: drawn at random or come by itself, with its reply and its scale."""

    class Reply(models.TextChoices):
        WAITING = "waiting", _("asked")
        AGREED = "agreed", _("agreed")
        DECLINED = "declined", _("declined")
        NO_REPLY = "no_reply", _("no reply")

    season = models.ForeignKey(WeighInSeason, models.PROTECT, related_name="weigh_ins")
    household = models.ForeignKey(Household, models.PROTECT, related_name="+")
    counted_under = models.ForeignKey(Household, models.PROTECT, related_name="+")
    # Its place in the draw, from 1; none for a volunteer.
    draw_place = models.PositiveIntegerField(null=True, blank=True)
    reply = models.CharField(_("reply"), max_length=10, choices=Reply.choices, default=Reply.WAITING)
    replied_on = models.DateField(_("replied on"), null=True, blank=True)
    scale_out_on = models.DateField(_("scale handed out on"), null=True, blank=True)
    scale_back_on = models.DateField(_("scale returned on"), null=True, blank=True)
    note = models.CharField(_("note"), max_length=300, blank=True)

    objects = WeighInQuerySet.as_manager()

    class Meta:
        ordering = ["season", F("draw_place").asc(nulls_last=True), "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["season", "household"],
                name="weigh_in_once_a_season",
                violation_error_message=_("This household is already on the list of this season."),
            ),
            models.UniqueConstraint(
                fields=["season", "draw_place"],
                name="weigh_in_one_per_draw_place",
                violation_error_message=_("Another household already has this place in the draw."),
            ),
            models.CheckConstraint(
                condition=Q(draw_place__isnull=False) | Q(reply="agreed"),
                name="weigh_in_volunteer_agreed",
                violation_error_message=_("A volunteer has agreed. Take it off the list otherwise."),
            ),
            models.CheckConstraint(
                condition=Q(scale_out_on__isnull=True) | Q(reply="agreed"),
                name="weigh_in_scale_after_agreeing",
                violation_error_message=_("A scale goes to a household that agreed. Record the reply first."),
            ),
            models.CheckConstraint(
                condition=Q(scale_back_on__isnull=True) | Q(scale_out_on__isnull=False),
                name="weigh_in_scale_went_out",
                violation_error_message=_("A scale comes back after it was handed out. Record that day too."),
            ),
            not_before(
                "scale_back_on",
                "scale_out_on",
                name="weigh_in_scale_back_after_out",
                sentence=_("A scale cannot come back before it was handed out."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.household}, {self.season}"

    @property
    def code(self) -> str:
        """What its sheet is marked with."""
        return f"W{self.pk:04d}"

    @property
    def is_volunteer(self) -> bool:
        return self.draw_place is None


class WeighedWeek(models.Model):
    """One week of one household and material: what it would have reported, and what it weighed."""

    class Material(models.TextChoices):
        FOOD = "food", _("food scraps")
        YARD = "yard", _("yard trimmings")

    weigh_in = models.ForeignKey(WeighIn, models.PROTECT, related_name="weighed_weeks")
    week = models.PositiveSmallIntegerField(_("week"))
    material = models.CharField(_("material"), max_length=4, choices=Material.choices)
    reported_as_written = models.CharField(_("as reported"), max_length=200)
    reported_ml = models.PositiveIntegerField(_("reported, mL"))
    weighed_g = models.PositiveIntegerField(_("weighed, g"))
    entered_at = models.DateTimeField()
    entered_by = models.ForeignKey(StaffMember, models.PROTECT, related_name="+")
    # Why a person must look before it counts; stays as history once someone has.
    review_reason = models.CharField(max_length=300, blank=True)
    reviewed_at = models.DateTimeField(null=True, blank=True)
    reviewed_by = models.ForeignKey(StaffMember, models.PROTECT, null=True, blank=True, related_name="+")
    is_set_aside = models.BooleanField(default=False)
    why_set_aside = models.CharField(_("why it is set aside"), max_length=300, blank=True)

    objects = WeighedWeekQuerySet.as_manager()

    class Meta:
        ordering = ["weigh_in", "week", "material"]
        constraints = [
            models.UniqueConstraint(
                fields=["weigh_in", "week", "material"],
                name="weighed_week_once",
                violation_error_message=_(
                    "This week is already entered for this material. Correct that one."
                ),
            ),
            within(
                "week",
                1,
                MOST_WEEKS,
                name="weighed_week_number",
                sentence=_("Weeks of a season are numbered from 1 to 60."),
            ),
            within(
                "reported_ml",
                0,
                MOST_ML,
                name="weighed_week_volume",
                sentence=_("A week's volume is from 0 to 1000 litres. Check the amount and its unit."),
            ),
            within(
                "weighed_g",
                0,
                MOST_G,
                name="weighed_week_weight",
                sentence=_("A week's weight is from 0 to 300 kg. Check the amount and its unit."),
            ),
            both_or_neither(
                "reviewed_at",
                "reviewed_by",
                name="weighed_week_reviewed_by_someone",
                sentence=_("Say who looked at the week."),
            ),
            models.CheckConstraint(
                condition=Q(is_set_aside=False, why_set_aside="")
                | Q(is_set_aside=True, reviewed_at__isnull=False) & ~Q(why_set_aside=""),
                name="weighed_week_set_aside_says_why",
                violation_error_message=_("Say why the week is set aside."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.weigh_in}, week {self.week}, {self.get_material_display()}"

    @property
    def waits(self) -> bool:
        """A person must look before it counts."""
        return bool(self.review_reason) and self.reviewed_at is None

    @property
    def standing(self) -> str:
        """A word for its mark: for_review, set_aside or settled."""
        if self.waits:
            return "for_review"
        return "set_aside" if self.is_set_aside else "settled"
