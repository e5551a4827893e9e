"""Addresses of readings over time."""

from django.urls import URLPattern, path

from analytics.views import readings

urlpatterns: list[URLPattern] = [
    path(
        "positions/<int:pk>/readings/trend/",
        readings.position_readings,
        name="position_readings",
    ),
]
