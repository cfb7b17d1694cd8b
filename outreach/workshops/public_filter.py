"""Narrowing the list that residents see: by place, language and month."""

import django_filters
from django.utils.dates import MONTHS
from django.utils.translation import gettext_lazy as _

from outreach.places.models import Jurisdiction
from outreach.workshops.models import Workshop, WorkshopQuerySet
from outreach.workshops.sign_up_form import language_choices


def month_choices() -> list[tuple[str, str]]:
    """The months in which residents can go to a workshop, as `year * 12 + month - 1`."""
    coming = Workshop.objects.public().planned().order_by("month").values_list("month", flat=True).distinct()
    return [(str(month), f"{MONTHS[month % 12 + 1]} {month // 12}".capitalize()) for month in coming]


class PublicFilter(django_filters.FilterSet):
    """By the place served, the language of the workshop and the month."""

    place = django_filters.ModelChoiceFilter(
        "jurisdiction", label=_("Place"), queryset=Jurisdiction.objects.all(), empty_label=_("any")
    )
    spoken = django_filters.ChoiceFilter(
        "language", label=_("Language"), choices=language_choices, empty_label=_("any")
    )
    month = django_filters.ChoiceFilter(
        label=_("Month"), choices=month_choices, empty_label=_("any"), method="in_month"
    )

    class Meta:
        model = Workshop
        fields: list[str] = []

    def in_month(self, workshops: WorkshopQuerySet, name: str, value: str) -> WorkshopQuerySet:
        return workshops.in_month(int(value))
