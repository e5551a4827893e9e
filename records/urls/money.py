"""Addresses of rates of exchange and price levels."""

from django.urls import path

from records.views import money_tables

urlpatterns = [
    path("money-tables/", money_tables.money_tables, name="money_tables"),
    path(
        "money-tables/export.csv",
        money_tables.money_tables_export,
        name="money_tables_export",
    ),
    path(
        "money-tables/rates/new/",
        money_tables.exchange_rates_new,
        name="exchange_rates_new",
    ),
    path(
        "money-tables/levels/new/",
        money_tables.price_levels_new,
        name="price_levels_new",
    ),
    path(
        "money-tables/rates/<int:pk>/remove/",
        money_tables.exchange_rate_removal,
        name="exchange_rate_remove",
    ),
    path(
        "money-tables/levels/<int:pk>/remove/",
        money_tables.price_level_removal,
        name="price_level_remove",
    ),
]
