"""Addresses of funding: sources with their budgets, costs, hours and rates."""

from django.urls import path
from django.utils.translation import gettext_lazy as _

from outreach.funding import cost_pages, forms, grant_period_pages, hours_pages, models, source_pages
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
)

admit = may(*OFFICE)
urlpatterns = [
    path("funding-sources/", source_pages.funding_sources, name=FUNDING_SOURCE.list_url),
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
    path("funding-sources/<int:source_id>/budget/", source_pages.funding_budget, name="funding_budget"),
    path("funding-sources/<int:source_id>/budget/add/", source_pages.budget_line_add, name="budget_line_add"),
    path("funding-sources/lines/<int:line_id>/", source_pages.budget_line, name="budget_line"),
    path(
        "funding-sources/<int:source_id>/periods/add/",
        grant_period_pages.grant_period_add,
        name="grant_period_add",
    ),
    path("funding-sources/periods/<int:period_id>/", grant_period_pages.grant_period, name="grant_period"),
    path(
        "funding-sources/periods/<int:period_id>/remove/",
        grant_period_pages.grant_period_remove,
        name="grant_period_remove",
    ),
    path("costs/", cost_pages.costs, name="costs"),
    path("costs/costs.csv", cost_pages.costs_csv, name="costs_csv"),
    path("costs/add/", cost_pages.cost_add, name="cost_add"),
    path("costs/<int:cost_id>/", cost_pages.cost, name="cost"),
    path("costs/<int:cost_id>/correct/", cost_pages.cost_edit, name="cost_edit"),
    path("costs/<int:cost_id>/void/", cost_pages.cost_void, name="cost_void"),
    path("hours/", hours_pages.hours, name="hours"),
    path("hours/hours.csv", hours_pages.hours_csv, name="hours_csv"),
    path("hours/add/", hours_pages.hours_add, name="hours_add"),
    path("hours/<int:hours_id>/", hours_pages.hours_given, name="hours_given"),
    path("hours/<int:hours_id>/correct/", hours_pages.hours_edit, name="hours_edit"),
    path("hours/<int:hours_id>/void/", hours_pages.hours_void, name="hours_void"),
    path("hours/rates/", hours_pages.hour_rates, name="hour_rates"),
    path("hours/rates/add/", hours_pages.hour_rate_add, name="hour_rate_add"),
]
