"""Addresses of the repairs pages."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
