"""Addresses of records requests and of what is withheld."""

from django.urls import path

from outreach.disclosure import pages, withholding_pages, words_pages

urlpatterns = [
    path("", pages.records_requests, name="records_requests"),
    path("add/", pages.records_request_add, name="records_request_add"),
    path("withheld/", withholding_pages.withholdings, name="withholdings"),
    path("withheld/<str:key>/", withholding_pages.withholding_edit, name="withholding"),
    path("<int:pk>/", pages.records_request, name="records_request"),
    path("<int:pk>/words/<slug:kind>/", words_pages.records_request_words, name="records_request_words"),
    path("<int:pk>/make/", pages.disclosure_make, name="disclosure_make"),
    path("made/<int:pk>/file/", pages.disclosure_file, name="disclosure_file"),
    path("made/<int:pk>/handed-over/", pages.handover_add, name="handover_add"),
]
