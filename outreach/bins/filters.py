"""Narrowing the lists of movements, handouts and exceptions."""

import django_filters
from django import forms
from django.utils.translation import gettext_lazy as _

from outreach.bins.forms import day_input
from outreach.bins.models import (
    BinModel,
    Handout,
    HandoutQuerySet,
    RuleException,
    RuleExceptionQuerySet,
    StockMovement,
    StockMovementQuerySet,
    StockPlace,
)
from outreach.places.models import Jurisdiction


def _day(field: str, label: object, lookup: str) -> django_filters.DateFilter:
    return django_filters.DateFilter(field, lookup, label=label, widget=day_input())


def _bin_model() -> django_filters.ModelChoiceFilter:
    return django_filters.ModelChoiceFilter(
        label=_("Bin model"), queryset=BinModel.objects.all(), empty_label=_("any")
    )


class MovementFilter(django_filters.FilterSet):
    """By model, place, why, lot and day."""

    bin_model = _bin_model()
    place = django_filters.ModelChoiceFilter(
        label=_("From or to"), queryset=StockPlace.objects.all(), empty_label=_("any"), method="by_place"
    )
    why = django_filters.ChoiceFilter(label=_("Why"), choices=StockMovement.Why.choices, empty_label=_("any"))
    lot = django_filters.CharFilter(label=_("Lot"), lookup_expr="iexact")
    since = _day("moved_on", _("From"), "gte")
    until = _day("moved_on", _("To"), "lte")

    class Meta:
        model = StockMovement
        fields: list[str] = []

    def by_place(
        self, movements: StockMovementQuerySet, name: str, place: StockPlace
    ) -> StockMovementQuerySet:
        return movements.touching(place)


class HandoutFilter(django_filters.FilterSet):
    """By model, where the household lives, day, and whether it stands."""

    STATES = (
        ("standing", _("stands")),
        ("exception", _("is an exception")),
        ("returned", _("came back")),
        ("voided", _("voided")),
    )

    bin_model = _bin_model()
    jurisdiction = django_filters.ModelChoiceFilter(
        "counted_under__jurisdiction",
        label=_("Jurisdiction"),
        queryset=Jurisdiction.objects.all(),
        empty_label=_("any"),
    )
    state = django_filters.ChoiceFilter(
        label=_("State"), choices=STATES, empty_label=_("any"), method="by_state"
    )
    since = _day("handed_on", _("From"), "gte")
    until = _day("handed_on", _("To"), "lte")
    order = django_filters.OrderingFilter(
        fields=("handed_on", "bin_model__name", "lot"), widget=forms.HiddenInput, label=""
    )

    class Meta:
        model = Handout
        fields: list[str] = []

    def by_state(self, handouts: HandoutQuerySet, name: str, state: str) -> HandoutQuerySet:
        return handouts.in_state(state)


class ExceptionFilter(django_filters.FilterSet):
    """By kind, and whether the reason is still to be given."""

    kind = django_filters.ChoiceFilter(
        label=_("Kind"), choices=RuleException.Kind.choices, empty_label=_("any")
    )
    reason = django_filters.ChoiceFilter(
        label=_("Reason"),
        choices=(("missing", _("still to be given")), ("given", _("given"))),
        empty_label=_("either"),
        method="by_reason",
    )

    class Meta:
        model = RuleException
        fields: list[str] = []

    def by_reason(self, flags: RuleExceptionQuerySet, name: str, value: str) -> RuleExceptionQuerySet:
        return flags.without_reason() if value == "missing" else flags.with_reason()
