"""Addresses of decisions, their before and after, and what worked."""

from django.urls import URLPattern, path

from analytics.views import actions

urlpatterns: list[URLPattern] = [
    path("actions/new/", actions.action_new, name="action_new"),
    path("actions/worked/", actions.what_worked, name="what_worked"),
    path("actions/worked.csv", actions.what_worked_export, name="what_worked_export"),
    path(
        "actions/<int:pk>/judgement/", actions.action_judgement, name="action_judgement"
    ),
    path("actions/<int:pk>/judge/", actions.action_judging, name="action_judging"),
]
