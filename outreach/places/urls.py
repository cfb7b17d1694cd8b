"""Addresses of the Set-up pages: each kind of record has a list, a form to add, a form to correct."""

from collections.abc import Iterator

from django.urls import URLPattern, path
from django.utils.translation import gettext_lazy as _

from outreach.places import filters, forms, models, pages
from outreach.places.pages import Kind
from outreach.staff.roles import OFFICE, may

JURISDICTION = Kind(
    model=models.Jurisdiction,
    form_class=forms.JurisdictionForm,
    plural=_("Jurisdictions"),
    add_words=_("Add a jurisdiction"),
    name="jurisdiction",
    list_url="jurisdictions",
    related=("landfill_profile",),
)
SERVED_PLACE = Kind(
    model=models.ServedPlace,
    form_class=forms.ServedPlaceForm,
    filterset_class=filters.ServedPlaceFilter,
    plural=_("Places served"),
    add_words=_("Add a city and ZIP"),
    name="served_place",
    list_url="served_places",
    related=("jurisdiction",),
)
DISTRICT = Kind(
    model=models.District,
    form_class=forms.DistrictForm,
    filterset_class=filters.DistrictFilter,
    plural=_("Districts"),
    add_words=_("Add a district"),
    name="district",
    list_url="districts",
    related=("jurisdiction",),
)
LANDFILL_PROFILE = Kind(
    model=models.LandfillProfile,
    form_class=forms.LandfillProfileForm,
    plural=_("Landfill profiles"),
    add_words=_("Add a landfill profile"),
    name="landfill_profile",
    list_url="landfill_profiles",
)
VENUE = Kind(
    model=models.Venue,
    form_class=forms.VenueForm,
    filterset_class=filters.VenueFilter,
    plural=_("Venues"),
    add_words=_("Add a venue"),
    name="venue",
    list_url="venues",
    related=("jurisdiction",),
)


def _pages_of(kind: Kind, address: str) -> Iterator[URLPattern]:
    admit = may(*OFFICE)
    yield path(f"{address}/", admit(pages.RecordList.as_view(kind=kind)), name=kind.list_url)
    yield path(f"{address}/add/", admit(pages.RecordAdd.as_view(kind=kind)), name=f"{kind.name}_add")
    yield path(f"{address}/<int:pk>/", admit(pages.RecordCorrect.as_view(kind=kind)), name=kind.name)


urlpatterns = [
    path("", pages.set_up, name="set_up"),
    *_pages_of(JURISDICTION, "jurisdictions"),
    *_pages_of(SERVED_PLACE, "places-served"),
    path("places-served/<int:pk>/remove/", pages.served_place_remove, name="served_place_remove"),
    *_pages_of(DISTRICT, "districts"),
    *_pages_of(LANDFILL_PROFILE, "landfill-profiles"),
    *_pages_of(VENUE, "venues"),
]
