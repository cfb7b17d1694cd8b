"""Addresses of the staff pages."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
