"""Addresses of the trend pages."""

from django.urls import URLPattern, path

from analytics.views import trend

urlpatterns: list[URLPattern] = [
    path("trend/", trend.trend, name="trend"),
    path("trend/export.csv", trend.trend_export, name="trend_export"),
    path("trend/results.csv", trend.trend_results, name="trend_results"),
    path("positions/<int:pk>/trend/", trend.position_trend, name="position_trend"),
]
