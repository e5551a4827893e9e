"""Addresses of the page on what drives life."""

from django.urls import URLPattern, path

from analytics.views import drivers

urlpatterns: list[URLPattern] = [
    path("life/drivers/", drivers.life_drivers, name="life_drivers"),
    path(
        "life/drivers/export.csv",
        drivers.life_drivers_export,
        name="life_drivers_export",
    ),
]
