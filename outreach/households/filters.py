"""What narrows the list of households; who may not see names and addresses cannot search by them."""

from typing import Any, ClassVar

import django_filters
from django.utils.translation import gettext_lazy as _

from outreach.households import duplicates
from outreach.households.models import Household
from outreach.households.querysets import HouseholdQuerySet
from outreach.households.searching import matching

LIVING = (("here", _("live there now")), ("moved", _("moved out")))
LIKELY = (("yes", _("only likely duplicates")),)


class HouseholdFilter(django_filters.FilterSet):
    """Place, whether they moved out, and whether they look like another record."""

    living = django_filters.ChoiceFilter(
        label=_("Living there"), choices=LIVING, empty_label=_("either"), method="by_living"
    )

    class Meta:
        model = Household
        fields: ClassVar = ["jurisdiction", "district"]

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        for place in self.Meta.fields:
            self.form.fields[place].empty_label = _("any")

    def by_living(self, households: HouseholdQuerySet, name: str, value: str) -> HouseholdQuerySet:
        return households.standing_open() if value == "here" else households.moved_out()


class HouseholdSearch(HouseholdFilter):
    """The same, with a search by name, street, e-mail or phone for those who may see them."""

    q = django_filters.CharFilter(label=_("Name, street, e-mail or phone"), method="by_words")
    duplicates = django_filters.ChoiceFilter(
        label=_("Likely duplicates"), choices=LIKELY, empty_label=_("all households"), method="by_likeness"
    )
    field_order = ("q", "jurisdiction", "district", "living", "duplicates")

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.form.order_fields(self.field_order)

    def by_words(self, households: HouseholdQuerySet, name: str, value: str) -> HouseholdQuerySet:
        return matching(households, value)

    def by_likeness(self, households: HouseholdQuerySet, name: str, value: str) -> HouseholdQuerySet:
        return households.numbered(duplicates.households_concerned())
