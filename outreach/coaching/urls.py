"""Addresses of the coaching pages: those for residents first, then Help for the office and the crew."""

from django.urls import path

from outreach.coaching import (
    advice_pages,
    help_pages,
    help_step_pages,
    help_views,
    outcome_views,
    public_views,
    rules_pages,
    sheet_pages,
    sheet_views,
)

urlpatterns = [
    path("recipe/", public_views.recipe, name="recipe"),
    path("which-bin/", public_views.bin_advice, name="bin_advice"),
    path("problems/", help_views.diagnosis, name="diagnosis"),
    path("ask/", help_views.ask_for_help, name="ask_for_help"),
    path("ask/thanks/", help_views.help_asked, name="help_asked"),
    path("sheet/", sheet_views.sheet_page, name="sheet"),
    path("sheet/print/", sheet_views.sheet_print, name="sheet_print"),
    path("outcome/<str:token>/", outcome_views.help_outcome, name="help_outcome"),
    path("", help_pages.help_requests, name="help"),
    path("add/", help_pages.help_add, name="help_add"),
    path("complaint/", help_pages.complaint_add, name="complaint_add"),
    path("rules/", rules_pages.local_rules, name="local_rules"),
    path("rules/add/", rules_pages.local_rule_add, name="local_rule_add"),
    path("rules/<int:pk>/", rules_pages.local_rule, name="local_rule"),
    path("<int:pk>/", help_pages.help_request, name="help_request"),
    path("<int:pk>/household/", help_pages.help_household, name="help_household"),
    path("<int:pk>/step/", help_step_pages.help_step, name="help_step"),
    path("<int:pk>/visit/", help_step_pages.help_visit, name="help_visit"),
    path("<int:pk>/close/", help_step_pages.help_close, name="help_close"),
    path("<int:pk>/reopen/", help_step_pages.help_reopen, name="help_reopen"),
    path("<int:pk>/report/", help_step_pages.complaint_report, name="complaint_report"),
    path("<int:pk>/advice/", advice_pages.help_advice, name="help_advice"),
    path("<int:pk>/letter/", advice_pages.help_letter, name="help_letter"),
    path("sheets/household/<int:pk>/", sheet_pages.household_sheet, name="household_sheet"),
    path("sheets/handout/<int:pk>/", sheet_pages.handout_sheet, name="handout_sheet"),
    path("sheets/workshop/<int:pk>/", sheet_pages.workshop_sheets, name="workshop_sheets"),
]
