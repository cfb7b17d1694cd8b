"""Addresses of the reading API."""

from django.urls import path

from outreach.api import views

urlpatterns = [
    path("filings/", views.FilingList.as_view(), name="api_filings"),
    path("filings/<int:pk>/", views.FilingDetail.as_view(), name="api_filing"),
]
