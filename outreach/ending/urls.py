"""Addresses of closing the programme."""

from django.urls import path

from outreach.ending import pages

urlpatterns = [
    path("", pages.programme_end, name="programme_end"),
    path("files/", pages.open_files, name="end_open_files"),
    path("certificate/", pages.certificate, name="end_certificate"),
    path("<slug:step>/", pages.programme_end_step, name="programme_end_step"),
    path("<slug:step>/take-back/", pages.programme_end_take_back, name="programme_end_take_back"),
]
