"""Addresses of the workshops pages."""

from django.urls import path, re_path

from outreach.workshops import roster_pages, workshop_pages

HOW = r"(?P<how>book|walk-in)"

urlpatterns = [
    path("", workshop_pages.workshops, name="workshops"),
    path("add/", workshop_pages.workshop_add, name="workshop_add"),
    path("<int:workshop_id>/", workshop_pages.workshop, name="workshop"),
    path("<int:workshop_id>/edit/", workshop_pages.workshop_edit, name="workshop_edit"),
    path("<int:workshop_id>/headcount/", workshop_pages.workshop_headcount, name="workshop_headcount"),
    re_path(
        r"^(?P<workshop_id>\d+)/(?P<step>held|close)/$", workshop_pages.workshop_step, name="workshop_step"
    ),
    re_path(
        r"^(?P<workshop_id>\d+)/(?P<step>reopen|cancel)/$",
        workshop_pages.workshop_reason,
        name="workshop_reason",
    ),
    re_path(
        rf"^(?P<workshop_id>\d+)/people/{HOW}/$",
        roster_pages.workshop_person_add,
        name="workshop_person_add",
    ),
    re_path(
        rf"^(?P<workshop_id>\d+)/people/{HOW}/(?P<participant_id>\d+)/$",
        roster_pages.workshop_person_put,
        name="workshop_person_put",
    ),
    re_path(
        r"^registrations/(?P<registration_id>\d+)/(?P<step>attended|missed|undo|cancel)/$",
        roster_pages.registration_step,
        name="registration_step",
    ),
]
