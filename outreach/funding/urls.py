"""Addresses of funding sources: a list, a form to add, a form to correct."""

from django.urls import path
from django.utils.translation import gettext_lazy as _

from outreach.funding import forms, models
from outreach.places import pages
from outreach.places.pages import Kind
from outreach.staff.roles import OFFICE, may

FUNDING_SOURCE = Kind(
    model=models.FundingSource,
    form_class=forms.FundingSourceForm,
    plural=_("Funding sources"),
    add_words=_("Add a funding source"),
    name="funding_source",
    list_url="funding_sources",
    folder="funding",
)

admit = may(*OFFICE)
urlpatterns = [
    path(
        "funding-sources/", admit(pages.RecordList.as_view(kind=FUNDING_SOURCE)), name=FUNDING_SOURCE.list_url
    ),
    path(
        "funding-sources/add/",
        admit(pages.RecordAdd.as_view(kind=FUNDING_SOURCE)),
        name=f"{FUNDING_SOURCE.name}_add",
    ),
    path(
        "funding-sources/<int:pk>/",
        admit(pages.RecordCorrect.as_view(kind=FUNDING_SOURCE)),
        name=FUNDING_SOURCE.name,
    ),
]
