"""Addresses of the data-quality pages."""

from django.urls import path

from records.views import data_quality

urlpatterns = [
    path("data-quality/", data_quality.data_quality, name="data_quality"),
    path(
        "data-quality/<slug:key>/",
        data_quality.data_quality_rows,
        name="data_quality_rows",
    ),
]
