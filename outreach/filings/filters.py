"""How filings are narrowed down, on the page and through the API."""

import django_filters
from django import forms
from django.utils.translation import gettext_lazy as _

from outreach.filings.models import Filing, FilingQuerySet
from outreach.places.models import Jurisdiction

SUPERSEDED = (("", _("shown too")), ("true", _("left out")))


class FilingFilter(django_filters.FilterSet):
    """By jurisdiction, by period, and whether superseded ones are shown."""

    jurisdiction = django_filters.ModelChoiceFilter(
        label=_("Jurisdiction"), queryset=Jurisdiction.objects.all(), empty_label=_("any")
    )
    period = django_filters.CharFilter(label=_("Period, as 2026-Q3 or FY2026"), lookup_expr="startswith")
    standing = django_filters.BooleanFilter(
        label=_("Superseded filings"), method="only_standing", widget=forms.Select(choices=SUPERSEDED)
    )

    class Meta:
        model = Filing
        fields = ("jurisdiction", "period")

    def only_standing(self, filings: FilingQuerySet, name: str, value: bool) -> FilingQuerySet:
        return filings.standing() if value else filings
