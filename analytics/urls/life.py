"""Addresses of the life pages."""

from django.urls import path

from analytics.views import life, life_views

urlpatterns = [
    path("life/", life.life, name="life"),
    path("life/lives.csv", life.life_sample, name="life_sample"),
    path("life/results.csv", life.life_results, name="life_results"),
    path(
        "life/distributions/",
        life_views.life_distributions_page,
        name="life_distributions",
    ),
    path(
        "life/distributions.csv",
        life_views.life_distributions_export,
        name="life_distributions_export",
    ),
    path("life/comparison/", life_views.life_comparison_page, name="life_comparison"),
    path(
        "life/comparison.csv",
        life_views.life_comparison_export,
        name="life_comparison_export",
    ),
    path(
        "life/replacement/", life_views.life_replacement_page, name="life_replacement"
    ),
    path(
        "life/replacement.csv",
        life_views.life_replacement_export,
        name="life_replacement_export",
    ),
    path("life/forecast/", life_views.life_forecast_page, name="life_forecast"),
    path(
        "life/forecast.csv",
        life_views.life_forecast_export,
        name="life_forecast_export",
    ),
    path("life/rating/", life_views.life_rating_page, name="life_rating"),
    path("life/rating.csv", life_views.life_rating_export, name="life_rating_export"),
    path("life/methods/", life_views.life_methods, name="life_methods"),
    path("pumps/<int:pk>/lives/", life.pump_lives, name="pump_lives"),
]
