"""Addresses of the coaching pages."""

from django.urls import path

from outreach.coaching import public_views

urlpatterns = [
    path("recipe/", public_views.recipe, name="recipe"),
    path("which-bin/", public_views.bin_advice, name="bin_advice"),
]
