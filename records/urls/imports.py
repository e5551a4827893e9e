"""Addresses of the imports pages."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
