"""Statistics and dashboards; imports the repair log and the asset register."""

from django.apps import AppConfig


class AnalyticsConfig(AppConfig):
    name = "analytics"
    role_permissions = {"reliability engineer": ["analytics.keep_review"]}
