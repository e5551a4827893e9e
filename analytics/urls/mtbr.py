"""Addresses of the mtbr pages."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
