"""What narrows the lists of Set-up."""

from typing import ClassVar

import django_filters
from django.utils.translation import gettext_lazy as _

from outreach.places.models import District, ServedPlace, Venue


class ServedPlaceFilter(django_filters.FilterSet):
    city_name = django_filters.CharFilter(label=_("City has"), lookup_expr="icontains")
    zip_code = django_filters.CharFilter(label=_("ZIP begins with"), lookup_expr="startswith")

    class Meta:
        model = ServedPlace
        fields: ClassVar = ["jurisdiction"]


class DistrictFilter(django_filters.FilterSet):
    name = django_filters.CharFilter(label=_("Name has"), lookup_expr="icontains")

    class Meta:
        model = District
        fields: ClassVar = ["jurisdiction"]


class VenueFilter(django_filters.FilterSet):
    name = django_filters.CharFilter(label=_("Name has"), lookup_expr="icontains")

    class Meta:
        model = Venue
        fields: ClassVar = ["jurisdiction"]
