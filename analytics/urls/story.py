"""Addresses of a pump's story."""

from django.urls import URLPattern, path

from analytics.views import story

urlpatterns: list[URLPattern] = [
    path("positions/<int:pk>/story/", story.position_story, name="story"),
    path("pumps/<int:pk>/story/", story.pump_story, name="pump_story"),
]
