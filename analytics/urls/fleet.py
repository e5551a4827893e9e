"""Addresses of the fleet pages."""

from django.urls import URLPattern, path

from analytics.views import fleet

urlpatterns: list[URLPattern] = [
    path("", fleet.fleet, name="fleet"),
    path("fleet/likely-to-fail/", fleet.fleet_likely, name="fleet_likely"),
    path(
        "fleet/likely-to-fail/export.csv",
        fleet.fleet_likely_export,
        name="fleet_likely_export",
    ),
    path("fleet/<slug:kind>/", fleet.fleet_rows, name="fleet_rows"),
    path(
        "fleet/<slug:kind>/export.csv",
        fleet.fleet_rows_export,
        name="fleet_rows_export",
    ),
]
