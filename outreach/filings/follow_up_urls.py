"""Addresses of pages about filings that stand under Follow-up."""

from django.urls import path

from outreach.filings import calling_pages

urlpatterns = [
    path("call-next/", calling_pages.call_next, name="call_next"),
    path("call-next/<int:household_id>/", calling_pages.call_logged, name="call_logged"),
]
