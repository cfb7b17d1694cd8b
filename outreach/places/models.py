"""Where the programme works: jurisdictions, the places they serve, districts, landfills, venues."""

from datetime import date

from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from outreach.places import landfill_phases
from outreach.staff.constraints import not_before, within


class LandfillProfile(models.Model):
    """How waste of a jurisdiction decays and how its gas is caught."""

    class Climate(models.TextChoices):
        DRY = "dry", _("dry: under 20 inches of rain a year")
        BETWEEN = "between", _("in between: 20 to 40 inches")
        WET = "wet", _("wet: over 40 inches")

    class Collection(models.TextChoices):
        NONE = "none", _("no gas is collected")
        TYPICAL = "typical", _("typical collection, by age of the waste")
        OWN = "own", _("a table of our own")

    name = models.CharField(_("name"), max_length=120, unique=True)
    climate = models.CharField(_("rain at the landfill"), max_length=10, choices=Climate.choices)
    collection = models.CharField(_("gas collection"), max_length=10, choices=Collection.choices)
    own_phases = models.JSONField(
        _("own collection table"),
        default=list,
        blank=True,
        help_text=_("Rows of [from year, to year or null, share collected 0 to 1]."),
    )
    oxidation_percent = models.PositiveSmallIntegerField(_("oxidised in the cover, %"), default=10)

    class Meta:
        ordering = ["name"]
        constraints = [
            within(
                "oxidation_percent",
                0,
                100,
                name="landfill_oxidation_is_a_share",
                sentence=_("Oxidation is a share from 0 to 100 %%."),
            ),
        ]

    def __str__(self) -> str:
        return self.name

    def clean(self) -> None:
        """An own table covers every age of the waste once; a preset needs none."""
        if self.collection == self.Collection.OWN and (problems := landfill_phases.why_not(self.own_phases)):
            raise ValidationError({"own_phases": problems})


class JurisdictionQuerySet(models.QuerySet["Jurisdiction"]):
    def named(self, name: str) -> "Jurisdiction | None":
        """The one of that name, however its letters are cased."""
        return self.filter(name__iexact=name.strip()).select_related("landfill_profile").first()


class Jurisdiction(models.Model):
    """A city, town or unincorporated area that the programme serves."""

    class MassUnit(models.TextChoices):
        TONNE = "t", _("tonnes (1000 kg)")
        SHORT_TON = "short_ton", _("short tons (2000 lb)")

    name = models.CharField(_("name"), max_length=120, unique=True)
    landfill_profile = models.ForeignKey(
        LandfillProfile, models.PROTECT, related_name="+", verbose_name=_("landfill profile")
    )
    landfilled_percent = models.PositiveSmallIntegerField(
        _("share of its trash that is landfilled, %"), default=100
    )
    yard_trimmings_banned = models.BooleanField(_("yard trimmings are banned from landfill"), default=False)
    fiscal_year_starts_month = models.PositiveSmallIntegerField(_("fiscal year starts in month"), default=7)
    # Where nothing else was agreed: a quarterly report is due 30 days after its quarter (2 CFR 200.329, from memory).
    report_due_days = models.PositiveSmallIntegerField(
        _("its report is due so many days after the period"), default=30
    )
    mass_unit = models.CharField(
        _("unit of mass in filings"), max_length=10, choices=MassUnit.choices, default=MassUnit.TONNE
    )

    objects = JurisdictionQuerySet.as_manager()

    class Meta:
        ordering = ["name"]
        constraints = [
            within(
                "landfilled_percent",
                0,
                100,
                name="jurisdiction_landfilled_is_a_share",
                sentence=_("The landfilled share is from 0 to 100 %%."),
            ),
            within(
                "fiscal_year_starts_month",
                1,
                12,
                name="jurisdiction_fiscal_month",
                sentence=_("The fiscal year starts in a month from 1 to 12."),
            ),
            within(
                "report_due_days",
                1,
                366,
                name="jurisdiction_report_due_within_a_year",
                sentence=_("A report is due 1 to 366 days after its period."),
            ),
        ]

    def __str__(self) -> str:
        return self.name


class ServedPlaceQuerySet(models.QuerySet["ServedPlace"]):
    def numbered(self, pk: int) -> "ServedPlaceQuerySet":
        return self.filter(pk=pk)


class ServedPlace(models.Model):
    """One city name and ZIP that belongs to a jurisdiction."""

    jurisdiction = models.ForeignKey(
        Jurisdiction, models.PROTECT, related_name="served_places", verbose_name=_("jurisdiction")
    )
    city_name = models.CharField(_("city"), max_length=120)
    city_key = models.CharField(max_length=120, editable=False)
    zip_code = models.CharField(_("ZIP"), max_length=5)

    objects = ServedPlaceQuerySet.as_manager()

    class Meta:
        ordering = ["zip_code", "city_name"]
        constraints = [
            models.UniqueConstraint(
                fields=["zip_code", "city_key"],
                name="served_place_once",
                violation_error_message=_("This city and ZIP are already in the places list."),
            ),
            models.CheckConstraint(
                condition=Q(zip_code__regex=r"^[0-9]{5}$"),
                name="served_place_zip_five_digits",
                violation_error_message=_("A ZIP has five digits, its leading zero too."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.city_name} {self.zip_code}"


class DistrictQuerySet(models.QuerySet["District"]):
    def in_force(self, on: date) -> "DistrictQuerySet":
        return self.filter(Q(until_on__isnull=True) | Q(until_on__gt=on), from_on__lte=on)


class District(models.Model):
    """A part of a jurisdiction that elects or plans, valid from one day until another."""

    jurisdiction = models.ForeignKey(
        Jurisdiction, models.PROTECT, related_name="districts", verbose_name=_("jurisdiction")
    )
    name = models.CharField(_("name"), max_length=80)
    from_on = models.DateField(_("valid from"))
    until_on = models.DateField(_("valid until"), null=True, blank=True)

    objects = DistrictQuerySet.as_manager()

    class Meta:
        ordering = ["jurisdiction", "name"]
        constraints = [
            models.UniqueConstraint(
                fields=["jurisdiction", "name", "from_on"],
                name="district_once",
                violation_error_message=_("This district is already recorded from that day."),
            ),
            not_before(
                "until_on",
                "from_on",
                name="district_ends_after_it_starts",
                sentence=_("A district cannot end before it starts."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.jurisdiction} {self.name}"


class VenueQuerySet(models.QuerySet["Venue"]):
    def called(self, jurisdiction: Jurisdiction, name_key: str) -> "VenueQuerySet":
        return self.filter(jurisdiction=jurisdiction, name_key=name_key)


class Venue(models.Model):
    """A hall, park or garden where workshops are held."""

    name = models.CharField(_("name"), max_length=160)
    name_key = models.CharField(max_length=160, editable=False)
    street = models.CharField(_("street address"), max_length=200, blank=True)
    jurisdiction = models.ForeignKey(
        Jurisdiction, models.PROTECT, related_name="+", verbose_name=_("jurisdiction")
    )

    objects = VenueQuerySet.as_manager()

    class Meta:
        ordering = ["name"]
        constraints = [
            models.UniqueConstraint(
                fields=["jurisdiction", "name_key"],
                name="venue_once",
                violation_error_message=_("This venue is already recorded in that jurisdiction."),
            )
        ]

    def __str__(self) -> str:
        return self.name
