"""Addresses of lost production."""

from django.urls import URLPattern, path

from analytics.views import lost_production as views

urlpatterns: list[URLPattern] = [
    path("costs/lost-production/", views.lost_production, name="lost_production"),
    path(
        "costs/lost-production/export.csv",
        views.lost_production_export,
        name="lost_production_export",
    ),
    path(
        "repairs/<int:pk>/lost-production/",
        views.repair_lost_production,
        name="repair_lost_production",
    ),
]
