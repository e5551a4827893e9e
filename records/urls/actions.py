"""Addresses of actions; the decision and the verdict need statistics: see analytics."""

from django.urls import path

from records.views import action_panels, actions

urlpatterns = [
    path("actions/", actions.action_list, name="action_list"),
    path("actions/export.csv", actions.action_export, name="action_export"),
    path("actions/<int:pk>/", actions.action_detail, name="action_detail"),
    path(
        "actions/<int:pk>/done/",
        actions.action_marking_done,
        name="action_marking_done",
    ),
    path("actions/<int:pk>/change/", actions.action_changing, name="action_changing"),
    path("actions/<int:pk>/drop/", actions.action_dropping, name="action_dropping"),
    path(
        "positions/<int:pk>/actions/",
        action_panels.position_actions,
        name="position_actions",
    ),
]
