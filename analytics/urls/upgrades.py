"""Addresses of upgrade cases."""

from django.urls import URLPattern, path

from analytics.views import upgrade_compare, upgrade_forms, upgrades

urlpatterns: list[URLPattern] = [
    path("costs/upgrades/", upgrades.upgrade_cases, name="upgrade_cases"),
    path("costs/upgrades.csv", upgrades.case_list_export, name="upgrade_cases_export"),
    path("costs/upgrades/new/", upgrade_forms.case_new, name="upgrade_case_new"),
    path(
        "costs/upgrades/compare/",
        upgrade_compare.upgrade_comparison,
        name="upgrade_comparison",
    ),
    path(
        "costs/upgrades/compare.csv",
        upgrade_compare.comparison_export,
        name="upgrade_comparison_export",
    ),
    path("costs/upgrades/<int:pk>/", upgrades.upgrade_case, name="upgrade_case"),
    path("costs/upgrades/<int:pk>.csv", upgrades.case_export, name="upgrade_export"),
    path(
        "costs/upgrades/<int:pk>/change/",
        upgrade_forms.case_changing,
        name="upgrade_case_changing",
    ),
    path(
        "costs/upgrades/<int:pk>/withdraw/",
        upgrade_forms.case_withdrawing,
        name="upgrade_case_withdrawing",
    ),
    path(
        "costs/upgrades/<int:pk>/bring-back/",
        upgrade_forms.case_bringing_back,
        name="upgrade_case_bringing_back",
    ),
    path(
        "costs/upgrades/<int:pk>/action/",
        upgrade_forms.case_acting,
        name="upgrade_case_acting",
    ),
]
