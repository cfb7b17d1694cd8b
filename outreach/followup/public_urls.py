"""Addresses under which households answer."""

from django.urls import path

from outreach.followup import answer_link_pages

urlpatterns = [
    path("<str:token>/", answer_link_pages.my_answer, name="my_answer"),
    path("<str:token>/more/", answer_link_pages.my_answer_more, name="my_answer_more"),
    path("<str:token>/kept/", answer_link_pages.my_answer_kept, name="my_answer_kept"),
]
