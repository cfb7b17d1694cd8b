"""Addresses of the Door for people who signed in."""

from django.urls import path

from outreach.door import device_pages

urlpatterns = [
    path("<int:workshop_id>/device", device_pages.let_in, name="door_device"),
]
