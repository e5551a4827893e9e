"""Addresses of the costs pages."""

from django.urls import URLPattern, path

from analytics.views import cost_workbook, costs

urlpatterns: list[URLPattern] = [
    path("costs/", costs.costs, name="costs"),
    path("costs/export.csv", costs.costs_export, name="costs_export"),
    path("costs/lines.csv", costs.cost_lines_export, name="cost_lines_export"),
    path("costs/workbook/", cost_workbook.costs_workbook, name="costs_workbook"),
    path(
        "costs/workbook/<int:pk>/",
        cost_workbook.costs_workbook_job,
        name="costs_workbook_job",
    ),
    path(
        "costs/workbook/<int:pk>/costs.xlsx",
        cost_workbook.costs_workbook_file,
        name="costs_workbook_file",
    ),
]
