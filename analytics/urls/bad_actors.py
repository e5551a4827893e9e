"""Addresses of the bad_actors pages."""

from django.urls import URLPattern, path

from analytics.views import bad_actors

urlpatterns: list[URLPattern] = [
    path("bad-actors/", bad_actors.bad_actors, name="bad_actors"),
    path(
        "bad-actors/export.csv", bad_actors.bad_actors_export, name="bad_actors_export"
    ),
]
