"""Addresses of the api pages."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
