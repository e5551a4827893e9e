"""Addresses of checks, findings and limits."""

from django.urls import path

from records.views import limits, repair_checks, repair_findings

urlpatterns = [
    path("repairs/<int:pk>/checks/", repair_checks.repair_checks, name="repair_checks"),
    path(
        "repairs/<int:pk>/findings/",
        repair_findings.repair_findings,
        name="repair_findings",
    ),
    path("limits/", limits.limit_list, name="limit_list"),
    path("limits/export.csv", limits.limit_export, name="limit_export"),
    path("limits/new/", limits.limit_new, name="limit_new"),
    path("limits/<int:pk>/", limits.limit_edit, name="limit_edit"),
    path("limits/<int:pk>/remove/", limits.limit_removal, name="limit_remove"),
]
