"""Addresses of the households pages."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
