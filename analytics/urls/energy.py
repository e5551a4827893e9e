"""Addresses of energy and wear."""

from django.urls import URLPattern, path

from analytics.views import energy

urlpatterns: list[URLPattern] = [
    path("costs/energy/", energy.energy, name="energy"),
    path("costs/energy/export.csv", energy.energy_export, name="energy_export"),
    path("costs/energy/<int:pk>/", energy.energy_position, name="energy_position"),
    path(
        "costs/energy/<int:pk>/rounds.csv",
        energy.energy_rounds_export,
        name="energy_rounds_export",
    ),
]
