"""Addresses of the bad_actors pages."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
