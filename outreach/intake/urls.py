"""Addresses of the intake pages."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
