"""Addresses of the mtbr pages."""

from django.urls import URLPattern, path

from analytics.views import mtbr

urlpatterns: list[URLPattern] = [
    path("mtbr/", mtbr.mtbr, name="mtbr"),
    path("mtbr/export.csv", mtbr.mtbr_export, name="mtbr_export"),
    path("positions/<int:pk>/mtbr/", mtbr.position_mtbr, name="position_mtbr"),
]
