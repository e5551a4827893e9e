"""Upgrade cases: what a change would cost and save, kept with what it rests on."""

from django.conf import settings
from django.db import models
from django.urls import reverse
from simple_history.models import HistoricalRecords

from plant.models import Position, Site
from plant.models.visible import VisibleQuerySet
from records.action_choices import ChangeMade
from records.models.action import Action


class UpgradeCaseQuerySet(VisibleQuerySet["UpgradeCase"]):
    """Upgrade cases, by what a person may see."""


class UpgradeCase(models.Model):
    """Typed assumptions of one change; what the records say is worked out anew.

    `promise` is what the page said on the day the case became an action. It is never
    written again, so that the real effect can stand beside it.
    """

    site = models.ForeignKey(
        Site, on_delete=models.PROTECT, related_name="upgrade_cases"
    )
    title = models.CharField(max_length=160)
    change_made = models.CharField(max_length=30, choices=ChangeMade)
    positions = models.ManyToManyField(Position, related_name="upgrade_cases")
    currency = models.CharField(max_length=3)
    as_of = models.DateField(help_text="Last day whose records count.")
    assumptions = models.JSONField(default=dict)
    stored_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )
    stored_at = models.DateTimeField(auto_now_add=True)
    changed_at = models.DateTimeField(auto_now=True)
    withdrawn = models.BooleanField(default=False)
    action = models.OneToOneField(
        Action,
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="upgrade_case",
    )
    promise = models.JSONField(null=True, blank=True)

    objects = UpgradeCaseQuerySet.as_manager()
    history = HistoricalRecords(m2m_fields=[positions])

    class Meta:
        ordering = ["-changed_at", "-pk"]
        permissions = [("plan_upgrade", "Can keep upgrade cases")]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(currency__regex=r"^[A-Z]{3}$"),
                name="upgrade_case_currency_code",
            ),
            models.CheckConstraint(
                condition=models.Q(action__isnull=True)
                | models.Q(promise__isnull=False),
                name="upgrade_case_with_action_has_promise",
            ),
        ]

    def __str__(self) -> str:
        return self.title

    def get_absolute_url(self) -> str:
        return reverse("analytics:upgrade_case", args=[self.pk])
