"""Narrowing the list of workshops."""

import django_filters
from django import forms
from django.conf import settings
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from outreach.places.models import Jurisdiction
from outreach.workshops.models import Workshop


def _day(label: str | Promise, lookup: str) -> django_filters.DateFilter:
    widget = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    return django_filters.DateFilter("held_on", lookup, label=label, widget=widget)


class WorkshopFilter(django_filters.FilterSet):
    """By state, place, period and language; sortable by the headings that are links."""

    state = django_filters.ChoiceFilter(
        label=_("State"), choices=Workshop.State.choices, empty_label=_("any")
    )
    jurisdiction = django_filters.ModelChoiceFilter(
        label=_("Jurisdiction"), queryset=Jurisdiction.objects.all(), empty_label=_("any")
    )
    since = _day(_("From"), "gte")
    until = _day(_("To"), "lte")
    language = django_filters.ChoiceFilter(
        label=_("Language"), choices=settings.LANGUAGES, empty_label=_("any")
    )
    order = django_filters.OrderingFilter(
        fields=("held_on", "venue__name", "people_came", "people_on_list", "bins_planned"),
        widget=forms.HiddenInput,
        label="",
    )

    class Meta:
        model = Workshop
        fields: list[str] = []
