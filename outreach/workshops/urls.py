"""Addresses of the workshops pages."""

from django.urls import path, re_path

from outreach.workshops import (
    booking_pages,
    printing_pages,
    public_pages,
    roster_pages,
    waiver_pages,
    workshop_pages,
)

HOW = r"(?P<how>book|walk-in)"

urlpatterns = [
    path("", workshop_pages.workshops, name="workshops"),
    path("add/", workshop_pages.workshop_add, name="workshop_add"),
    path("<int:workshop_id>/", workshop_pages.workshop, name="workshop"),
    path("calendar/", public_pages.staff_calendar_address, name="staff_calendar_address"),
    path("waiver/", waiver_pages.waiver_texts, name="waiver_texts"),
    path("<int:workshop_id>/print/", printing_pages.workshop_print, name="workshop_print"),
    path("<int:workshop_id>/print/sheet/", printing_pages.workshop_sheet, name="workshop_sheet"),
    path("<int:workshop_id>/print/waiver/", printing_pages.workshop_waiver, name="workshop_waiver"),
    path("<int:workshop_id>/print/labels/", printing_pages.workshop_labels, name="workshop_labels"),
    path("<int:workshop_id>/print/flyer/", printing_pages.workshop_flyer, name="workshop_flyer"),
    path("<int:workshop_id>/bookings/", booking_pages.workshop_bookings, name="workshop_bookings"),
    path("<int:workshop_id>/postpone/", booking_pages.workshop_postpone, name="workshop_postpone"),
    re_path(
        r"^bookings/(?P<booking_id>\d+)/(?P<step>confirm|give-back|book)/$",
        booking_pages.booking_step,
        name="booking_step",
    ),
    path("bookings/<int:booking_id>/join/<int:other_id>/", booking_pages.booking_join, name="booking_join"),
    re_path(
        r"^offers/(?P<offer_id>\d+)/(?P<answer>yes|no)/$", booking_pages.offer_answer, name="offer_answer"
    ),
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
        r"^registrations/(?P<registration_id>\d+)/(?P<step>attended|missed|undo|cancel|book|one-more|one-fewer)/$",
        roster_pages.registration_step,
        name="registration_step",
    ),
]
