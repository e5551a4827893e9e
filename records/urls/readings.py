"""Addresses of readings and their warning levels."""

from django.urls import path

from records.views import readings

urlpatterns = [
    path("positions/<int:pk>/readings/", readings.position_readings, name="readings"),
    path(
        "positions/<int:pk>/readings/export.csv",
        readings.readings_export,
        name="readings_export",
    ),
    path(
        "positions/<int:pk>/readings/new/", readings.readings_new, name="readings_new"
    ),
    path(
        "positions/<int:pk>/readings/level/",
        readings.warning_levels,
        name="warning_level",
    ),
    path("readings/<int:pk>/strike/", readings.reading_striking, name="reading_strike"),
]
