"""The counting rule of a site, in versions: what counts as repair and failure."""

from django.conf import settings
from django.db import models

from plant.models import Site
from records.choices import Activity, Category, Item


def default_repair_categories() -> list[str]:
    return [str(category) for category in Category]


def default_failure_categories() -> list[str]:
    return [str(Category.CORRECTIVE), str(Category.CONDITION)]


def default_excluded_activities() -> list[str]:
    return [str(Activity.ADJUST), str(Activity.SERVICE)]


def default_excluded_items() -> list[str]:
    return [str(i) for i in (Item.OIL, Item.DRIVER, Item.BLOCK_VALVE, Item.STRAINER)]


class CountingRule(models.Model):
    """One version; the newest holds. A closed review keeps the one it was made by."""

    site = models.ForeignKey(
        Site, on_delete=models.PROTECT, related_name="counting_rules"
    )
    version = models.PositiveIntegerField()
    repair_categories = models.JSONField(default=default_repair_categories)
    failure_categories = models.JSONField(default=default_failure_categories)
    excluded_activities = models.JSONField(
        default=default_excluded_activities, blank=True
    )
    excluded_items = models.JSONField(default=default_excluded_items, blank=True)
    made_at = models.DateTimeField(auto_now_add=True)
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+"
    )

    class Meta:
        ordering = ["site", "-version"]
        constraints = [
            models.UniqueConstraint(
                fields=["site", "version"], name="counting_rule_version"
            )
        ]

    def __str__(self) -> str:
        return f"Counting rule {self.version} of {self.site}"
