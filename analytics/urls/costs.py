"""Addresses of the costs pages."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
