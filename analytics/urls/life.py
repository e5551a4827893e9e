"""Addresses of the life pages."""

from django.urls import path

from analytics.views import life

urlpatterns = [
    path("life/", life.life, name="life"),
    path("life/lives.csv", life.life_sample, name="life_sample"),
    path("life/results.csv", life.life_results, name="life_results"),
    path("pumps/<int:pk>/lives/", life.pump_lives, name="pump_lives"),
]
