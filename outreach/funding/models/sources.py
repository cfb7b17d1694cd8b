"""Grants and budgets that pay: how much, from when until when, for whom, and for what."""

from datetime import date

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from outreach.places.models import District, Jurisdiction
from outreach.staff.constraints import not_before, within


class FundingSourceQuerySet(models.QuerySet["FundingSource"]):
    def running(self, on: date) -> "FundingSourceQuerySet":
        """Those that pay on this day."""
        return self.filter(starts_on__lte=on).exclude(ends_on__lt=on)

    def with_areas(self) -> "FundingSourceQuerySet":
        """With the jurisdictions and districts whose households each may pay for."""
        return self.prefetch_related("may_serve", "may_serve_districts__jurisdiction")


class FundingSource(models.Model):
    """A grant or budget that pays, with start, end, amount, and who may be served from it."""

    class Clock(models.TextChoices):
        FISCAL = "fiscal", _("fiscal years")
        CALENDAR = "calendar", _("calendar years")
        OWN = "own", _("years of its own")

    name = models.CharField(_("name"), max_length=120, unique=True)
    funder = models.CharField(_("who gives it"), max_length=120, blank=True)
    grant_number = models.CharField(_("their number for it"), max_length=60, blank=True)
    starts_on = models.DateField(_("from"))
    ends_on = models.DateField(_("until, inclusive"), null=True, blank=True)
    amount_cents = models.PositiveBigIntegerField(_("amount, cents"), default=0)
    # Nobody named: it may serve everybody.
    may_serve = models.ManyToManyField(
        Jurisdiction, blank=True, related_name="+", verbose_name=_("may serve only")
    )
    may_serve_districts = models.ManyToManyField(
        District, blank=True, related_name="+", verbose_name=_("may serve only, districts")
    )
    match_required_cents = models.PositiveBigIntegerField(_("match required, cents"), default=0)
    clock = models.CharField(_("reported by"), max_length=10, choices=Clock.choices, default=Clock.FISCAL)
    # Of the fiscal clock alone.
    fiscal_year_starts_month = models.PositiveSmallIntegerField(
        _("its fiscal year starts in month"), default=7
    )
    # Of a clock of its own; where it is not said, the first day on which the source pays.
    own_year_starts_on = models.DateField(_("its own year starts on"), null=True, blank=True)
    note = models.TextField(_("note"), blank=True)

    objects = FundingSourceQuerySet.as_manager()

    class Meta:
        ordering = ["name"]
        constraints = [
            not_before(
                "ends_on",
                "starts_on",
                name="funding_ends_after_it_starts",
                sentence=_("A funding source cannot end before it starts."),
            ),
            models.CheckConstraint(
                condition=~Q(name=""),
                name="funding_has_a_name",
                violation_error_message=_("Give the funding source a name."),
            ),
            within(
                "fiscal_year_starts_month",
                1,
                12,
                name="funding_fiscal_month",
                sentence=_("A fiscal year starts in a month from 1 to 12."),
            ),
            models.CheckConstraint(
                condition=Q(clock="own") | Q(own_year_starts_on__isnull=True),
                name="funding_own_year_of_its_own_clock",
                violation_error_message=_(
                    "Only a source with years of its own has a day on which they start."
                ),
            ),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def amount_in_dollars(self) -> str:
        return f"{self.amount_cents / 100:,.2f}"

    @property
    def years_start_on(self) -> date:
        """A day on which one of its reporting years starts; the others start a whole number of years away."""
        match self.clock:
            case self.Clock.FISCAL:
                return date(self.starts_on.year, self.fiscal_year_starts_month, 1)
            case self.Clock.CALENDAR:
                return date(self.starts_on.year, 1, 1)
            case _:
                return self.own_year_starts_on or self.starts_on

    @property
    def serves(self) -> list[str]:
        """Whom it may pay for, in words; none means everyone. Of sources that were read `with_areas`."""
        return [str(area) for area in (*self.may_serve.all(), *self.may_serve_districts.all())]

    def pays_on(self, day: date) -> bool:
        return self.starts_on <= day and (self.ends_on is None or day <= self.ends_on)

    def may_pay_in(self, jurisdiction_id: int | None, district_id: int | None = None) -> bool:
        """Whether it may pay for households there, or for a workshop there (which lies in no one district)."""
        jurisdictions = {area.pk for area in self.may_serve.all()}
        districts = list(self.may_serve_districts.all())
        if jurisdiction_id in jurisdictions or not (jurisdictions or districts):
            return True
        if district_id is not None:
            return district_id in {area.pk for area in districts}
        return jurisdiction_id in {area.jurisdiction_id for area in districts}


class BudgetLineQuerySet(models.QuerySet["BudgetLine"]):
    def of(self, source: FundingSource) -> "BudgetLineQuerySet":
        return self.filter(source=source)

    def with_source(self) -> "BudgetLineQuerySet":
        return self.select_related("source").order_by("source__name", "pk")


class BudgetLine(models.Model):
    """What a funding source grants for one kind of cost."""

    class Kind(models.TextChoices):
        BINS = "bins", _("bins")
        VENUE = "venue", _("venue")
        PRINTING = "printing", _("printing")
        STAFF = "staff", _("staff")
        MILEAGE = "mileage", _("mileage")
        OTHER = "other", _("other")

    source = models.ForeignKey(FundingSource, models.PROTECT, related_name="lines", verbose_name=_("source"))
    kind = models.CharField(_("kind"), max_length=10, choices=Kind.choices)
    # Tells two lines of one kind apart; the funder's own word where it has one.
    name = models.CharField(_("its name with the funder"), max_length=80, blank=True)
    amount_cents = models.PositiveBigIntegerField(_("amount, cents"))

    objects = BudgetLineQuerySet.as_manager()

    class Meta:
        ordering = ["source", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["source", "kind", "name"],
                name="budget_line_once",
                violation_error_message=_(
                    "The source already has such a line. Correct that one, or give this one another name."
                ),
            ),
            # Bins are charged through their orders, which name the source and not a line.
            models.UniqueConstraint(
                fields=["source"],
                condition=Q(kind="bins"),
                name="budget_one_line_for_bins",
                violation_error_message=_(
                    "A source has one line for bins: what its orders brought is charged there."
                ),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.source}: {self.words}"

    @property
    def words(self) -> str:
        return f"{self.get_kind_display()}, {self.name}" if self.name else str(self.get_kind_display())
