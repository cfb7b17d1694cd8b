"""Addresses of the reading API, and of the Door's devices."""

from django.urls import path

from outreach.api import door, views

urlpatterns = [
    path("filings/", views.FilingList.as_view(), name="api_filings"),
    path("filings/<int:pk>/", views.FilingDetail.as_view(), name="api_filing"),
    path("door/devices", door.LetIn.as_view(), name="api_door_devices"),
    path("door/roster", door.RosterView.as_view(), name="api_door_roster"),
    path("door/events", door.Events.as_view(), name="api_door_events"),
    path("door/goodbye", door.Goodbye.as_view(), name="api_door_goodbye"),
]
