"""Addresses of the fleet pages."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
