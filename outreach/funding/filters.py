"""Narrowing the lists of costs and hours."""

from typing import Any

import django_filters
from django import forms
from django.utils.translation import gettext_lazy as _

from outreach.funding.models import Cost, CostQuerySet, FundingSource, Hours, HoursQuerySet

STATES = (("standing", _("counts")), ("voided", _("voided")))


def _day(field: str, label: Any, lookup: str) -> django_filters.DateFilter:
    widget = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    return django_filters.DateFilter(field, lookup, label=label, widget=widget)


def _source(label: Any) -> django_filters.ModelChoiceFilter:
    return django_filters.ModelChoiceFilter(
        label=label,
        queryset=FundingSource.objects.order_by("name"),
        empty_label=_("any"),
        method="by_source",
    )


def _state() -> django_filters.ChoiceFilter:
    return django_filters.ChoiceFilter(
        label=_("State"), choices=STATES, empty_label=_("either"), method="by_state"
    )


class CostFilter(django_filters.FilterSet):
    """By who pays, day, and whether it counts."""

    source = _source(_("Paid by"))
    since = _day("spent_on", _("From"), "gte")
    until = _day("spent_on", _("To"), "lte")
    state = _state()

    class Meta:
        model = Cost
        fields: list[str] = []

    def by_source(self, costs: CostQuerySet, name: str, source: FundingSource) -> CostQuerySet:
        return costs.paid_by(source)

    def by_state(self, costs: CostQuerySet, name: str, state: str) -> CostQuerySet:
        return costs.voided() if state == "voided" else costs.standing()


class HoursFilter(django_filters.FilterSet):
    """By what they match, day, and whether they count."""

    source = _source(_("Match for"))
    since = _day("given_on", _("From"), "gte")
    until = _day("given_on", _("To"), "lte")
    state = _state()

    class Meta:
        model = Hours
        fields: list[str] = []

    def by_source(self, hours: HoursQuerySet, name: str, source: FundingSource) -> HoursQuerySet:
        return hours.matching(source)

    def by_state(self, hours: HoursQuerySet, name: str, state: str) -> HoursQuerySet:
        return hours.voided() if state == "voided" else hours.standing()
