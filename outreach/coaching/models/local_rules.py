"""The rules of a jurisdiction about compost bins, as someone looked them up."""

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from outreach.places.models import Jurisdiction
from outreach.staff.constraints import within


class LocalRulesQuerySet(models.QuerySet["LocalRules"]):
    def of(self, jurisdiction: Jurisdiction | None) -> "LocalRules | None":
        """Those of a jurisdiction, where someone has looked them up."""
        return self.filter(jurisdiction=jurisdiction).select_related("jurisdiction").first()

    def by_name(self) -> "LocalRulesQuerySet":
        return self.select_related("jurisdiction").order_by("jurisdiction__name")


class LocalRules(models.Model):
    """What one jurisdiction asks of a compost bin, with its source and the day it was looked up. Its own text rules."""

    jurisdiction = models.OneToOneField(
        Jurisdiction, models.PROTECT, related_name="+", verbose_name=_("jurisdiction")
    )
    lot_line_feet = models.PositiveSmallIntegerField(_("feet from the lot line"), null=True, blank=True)
    dwelling_feet = models.PositiveSmallIntegerField(
        _("feet from a neighbour's dwelling"), null=True, blank=True
    )
    water_feet = models.PositiveSmallIntegerField(
        _("feet from a stream, well or pond"), null=True, blank=True
    )
    most_bins = models.PositiveSmallIntegerField(_("bins at most"), null=True, blank=True)
    placement = models.CharField(
        _("where it may stand, English"),
        max_length=200,
        blank=True,
        help_text=_("Such as: behind the house."),
    )
    placement_es = models.CharField(_("where it may stand, Spanish"), max_length=200, blank=True)
    vector_control_name = models.CharField(
        _("who answers for rats and flies"), max_length=120, blank=True, help_text=_("Often vector control.")
    )
    vector_control_phone = models.CharField(_("their phone"), max_length=40, blank=True)
    source = models.CharField(
        _("source"), max_length=300, help_text=_("The section of the code, or the page it was read on.")
    )
    checked_on = models.DateField(_("looked up on"))

    objects = LocalRulesQuerySet.as_manager()

    class Meta:
        ordering = ["jurisdiction__name"]
        constraints = [
            *(
                within(
                    name,
                    0,
                    1000,
                    name=f"local_rules_{name}",
                    sentence=_("A distance is from 0 to 1000 feet."),
                )
                for name in ("lot_line_feet", "dwelling_feet", "water_feet")
            ),
            within(
                "most_bins",
                1,
                20,
                name="local_rules_most_bins",
                sentence=_("The most bins allowed are from 1 to 20. Leave it empty where there is no limit."),
            ),
            models.CheckConstraint(
                condition=~Q(source=""),
                name="local_rules_have_a_source",
                violation_error_message=_("Say where the rules were read."),
            ),
            models.CheckConstraint(
                condition=Q(placement="", placement_es="") | (~Q(placement="") & ~Q(placement_es="")),
                name="local_rules_placement_in_both_languages",
                violation_error_message=_("Say where the bin may stand in both languages."),
            ),
        ]

    def __str__(self) -> str:
        return f"local rules of {self.jurisdiction}"
