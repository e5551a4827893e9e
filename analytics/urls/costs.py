"""Addresses of the costs pages."""

from django.urls import URLPattern, path

from analytics.views import cost_files, costs

urlpatterns: list[URLPattern] = [
    path("costs/", costs.costs, name="costs"),
    path("costs/export.csv", costs.costs_export, name="costs_export"),
    path("costs/lines.csv", cost_files.cost_lines_csv, name="cost_lines_export"),
    path("costs/report.pdf", cost_files.costs_pdf, name="costs_pdf"),
    path("costs/workbook/", cost_files.costs_workbook, name="costs_workbook"),
    path(
        "costs/workbook/<int:pk>/",
        cost_files.costs_workbook_job,
        name="costs_workbook_job",
    ),
    path(
        "costs/workbook/<int:pk>/file/",
        cost_files.costs_workbook_file,
        name="costs_workbook_file",
    ),
]
