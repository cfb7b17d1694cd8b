"""Addresses of the workshops pages."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
