"""Addresses of the filings pages."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
