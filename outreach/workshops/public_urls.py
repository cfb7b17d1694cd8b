"""Addresses of the pages for residents: workshops to go to, signing up, and one's own booking."""

from django.urls import path, re_path

from outreach.workshops import public_pages, sign_up_pages

urlpatterns = [
    path("", public_pages.public_workshops, name="public_workshops"),
    path("calendar.ics", public_pages.public_calendar, name="public_calendar"),
    path("<int:workshop_id>/", public_pages.public_workshop, name="public_workshop"),
    path("<int:workshop_id>/calendar.ics", public_pages.workshop_calendar, name="workshop_calendar"),
    path("<int:workshop_id>/form/", sign_up_pages.sign_up, name="sign_up"),
    path("mine/<str:token>/", sign_up_pages.my_booking, name="my_booking"),
    path("mine/<str:token>/change/", sign_up_pages.my_booking_change, name="my_booking_change"),
    re_path(
        r"^mine/(?P<token>[^/]+)/(?P<step>confirm|give-back)/$",
        sign_up_pages.my_booking_step,
        name="my_booking_step",
    ),
    path("offer/<str:token>/", sign_up_pages.my_offer, name="my_offer"),
    path("staff/<str:token>/calendar.ics", public_pages.staff_calendar, name="staff_calendar"),
]
