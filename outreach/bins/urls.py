"""Addresses of the bins pages."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
