"""Addresses of the life pages."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
