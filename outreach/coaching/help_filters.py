"""Narrowing the list of help requests."""

import django_filters
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from outreach.coaching.models import HelpRequest, HelpRequestQuerySet
from outreach.coaching.symptoms import Symptom
from outreach.places.models import Jurisdiction


class HelpRequestFilter(django_filters.FilterSet):
    """By where it stands, what it is about, how it came and where."""

    STANDINGS = (
        ("not_closed", _("not closed")),
        ("late", _("past its day")),
        ("to_link", _("names no household yet")),
        *HelpRequest.State.choices,
    )

    standing = django_filters.ChoiceFilter(
        label=_("Where it stands"), choices=STANDINGS, empty_label=_("any"), method="by_standing"
    )
    kind = django_filters.ChoiceFilter(
        label=_("Kind"), choices=HelpRequest.Kind.choices, empty_label=_("any")
    )
    symptom = django_filters.ChoiceFilter(
        label=_("Symptom"), choices=Symptom.choices, empty_label=_("any"), method="by_symptom"
    )
    came_by = django_filters.ChoiceFilter(
        label=_("Came by"), choices=HelpRequest.CameBy.choices, empty_label=_("any")
    )
    jurisdiction = django_filters.ModelChoiceFilter(
        label=_("Jurisdiction"), queryset=Jurisdiction.objects.all(), empty_label=_("any")
    )

    class Meta:
        model = HelpRequest
        fields: list[str] = []

    def by_standing(self, requests: HelpRequestQuerySet, name: str, standing: str) -> HelpRequestQuerySet:
        return requests.standing(standing, on=timezone.localdate())

    def by_symptom(self, requests: HelpRequestQuerySet, name: str, symptom: str) -> HelpRequestQuerySet:
        return requests.about(symptom)
