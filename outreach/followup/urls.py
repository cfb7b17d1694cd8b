"""Addresses of the followup pages."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
