"""Addresses of the repairs pages."""

from django.urls import path

from records.views import (
    cautions,
    hours,
    repair_actions,
    repair_costs,
    repair_detail,
    repair_find,
    repair_forms,
    repair_list,
    repair_panels,
)

urlpatterns = [
    path("repairs/", repair_list.repair_list, name="repair_list"),
    path("repairs/export.csv", repair_list.repair_export, name="repair_export"),
    path("repairs/find/", repair_find.repair_find, name="repair_find"),
    path("repairs/new/", repair_forms.repair_new, name="repair_new"),
    path("repairs/<int:pk>/", repair_detail.repair_detail, name="repair_detail"),
    path("repairs/<int:pk>/edit/", repair_forms.repair_edit, name="repair_edit"),
    path(
        "repairs/<int:pk>/correct/",
        repair_forms.repair_correction,
        name="repair_correct",
    ),
    path("repairs/<int:pk>/sign/", repair_actions.repair_signing, name="repair_sign"),
    path("repairs/<int:pk>/void/", repair_actions.repair_voiding, name="repair_void"),
    path("repairs/<int:pk>/drop/", repair_actions.repair_dropping, name="repair_drop"),
    path("repairs/<int:pk>/costs/new/", repair_costs.cost_new, name="cost_new"),
    path(
        "repairs/<int:pk>/costs/<int:line_pk>/replace/",
        repair_costs.cost_replace,
        name="cost_replace",
    ),
    path(
        "positions/<int:pk>/repairs/",
        repair_panels.position_repairs,
        name="position_repairs",
    ),
    path("pumps/<int:pk>/repairs/", repair_panels.pump_repairs, name="pump_repairs"),
    path("positions/<int:pk>/hours/", hours.position_hours, name="hours"),
    path("cautions/", cautions.cautions, name="cautions"),
]
