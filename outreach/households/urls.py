"""Addresses of the households pages."""

from django.urls import path

from outreach.households import consent_pages, forget_pages, merge_pages, pages, record_pages, retention_pages

urlpatterns = [
    path("", pages.households, name="households"),
    path("add/", record_pages.household_add, name="household_add"),
    path("duplicates/", merge_pages.likely_duplicates, name="duplicates"),
    path(
        "duplicates/<str:kind>/<int:left>/<int:right>/different/",
        merge_pages.rule_different,
        name="duplicates_different",
    ),
    path("<int:pk>/", pages.household, name="household"),
    path("<int:pk>/correct/", record_pages.household_correct, name="household_correct"),
    path("<int:pk>/people/add/", record_pages.person_add, name="participant_add"),
    path("<int:pk>/merge/", merge_pages.merge_choose, name="merge_choose"),
    path("<int:pk>/merge/<int:absorbed>/", merge_pages.household_merge, name="household_merge"),
    path("merges/<int:pk>/undo/", merge_pages.merge_undo, name="merge_undo"),
    path("<int:pk>/forget/", forget_pages.household_forget, name="household_forget"),
    path("<int:pk>/hold/", forget_pages.household_hold, name="household_hold"),
    path("holds/<int:pk>/release/", forget_pages.hold_release, name="hold_release"),
    path("retention/", retention_pages.retention_page, name="retention"),
    path("retention/set/", retention_pages.retention_set, name="retention_set"),
    path("retention/remove/", retention_pages.retention_do, name="retention_do"),
    path("holds/", retention_pages.holds, name="holds"),
    path("<int:pk>/consent/", consent_pages.told_office, name="consent_told"),
    path("no-more-questions/<str:token>/", consent_pages.by_link, name="consent"),
    path("forgotten/", forget_pages.forgotten, name="forgotten"),
    path("people/<int:pk>/forget/", forget_pages.participant_forget, name="participant_forget"),
    path("people/<int:pk>/", record_pages.person, name="participant"),
    path("people/<int:pk>/link/<int:same_as>/", merge_pages.person_link, name="participant_link"),
    path("people/<int:pk>/unlink/", record_pages.person_unlink, name="participant_unlink"),
]
