"""Addresses of the budget."""

from django.urls import URLPattern, path

from analytics.views import budget

urlpatterns: list[URLPattern] = [
    path("costs/budget/", budget.budget, name="budget"),
    path("costs/budget/export.csv", budget.budget_export, name="budget_export"),
]
