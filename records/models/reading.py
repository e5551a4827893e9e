"""Readings at a running pump, and the levels at which a person wants to be warned."""

import uuid

from django.conf import settings
from django.db import models
from django.db.models import F, Q
from simple_history.models import HistoricalRecords

from plant.models import Position, Pump
from records.reading_choices import Point, Quantity, RunningState


class Reading(models.Model):
    """One value, in the unit stored for its quantity; what was typed beside it."""

    key = models.UUIDField(unique=True, default=uuid.uuid4)
    position = models.ForeignKey(
        Position, on_delete=models.PROTECT, related_name="readings"
    )
    pump = models.ForeignKey(
        Pump, null=True, blank=True, on_delete=models.PROTECT, related_name="readings"
    )
    read_at = models.DateTimeField()
    quantity = models.CharField(max_length=30, choices=Quantity)
    point = models.CharField(max_length=10, choices=Point, blank=True)
    value = models.FloatField()
    entered_value = models.CharField(max_length=30)
    entered_unit = models.CharField(max_length=20)
    running_state = models.CharField(
        max_length=10, choices=RunningState, default=RunningState.RUNNING
    )
    instrument = models.CharField(max_length=60, blank=True)
    entered_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )
    entered_at = models.DateTimeField(auto_now_add=True)
    struck_reason = models.CharField(
        max_length=200,
        blank=True,
        help_text="Why this reading is wrong; it is kept and left out.",
    )

    class Meta:
        ordering = ["position", "quantity", "point", "read_at"]
        indexes = [
            models.Index(
                fields=["position", "quantity", "read_at"], name="reading_by_position"
            )
        ]

    def __str__(self) -> str:
        return f"{self.position}: {self.get_quantity_display()} {self.value:g}"


class WarningLevel(models.Model):
    """Preset level at one position; without one the default of the quantity holds."""

    position = models.ForeignKey(
        Position, on_delete=models.CASCADE, related_name="warning_levels"
    )
    quantity = models.CharField(max_length=30, choices=Quantity)
    warn_below = models.FloatField(null=True, blank=True)
    warn_above = models.FloatField(null=True, blank=True)

    history = HistoricalRecords()

    class Meta:
        ordering = ["position", "quantity"]
        constraints = [
            models.UniqueConstraint(
                fields=["position", "quantity"], name="one_level_per_quantity"
            ),
            models.CheckConstraint(
                condition=Q(warn_below__isnull=False) | Q(warn_above__isnull=False),
                name="level_has_an_end",
            ),
            models.CheckConstraint(
                condition=Q(warn_below__isnull=True)
                | Q(warn_above__isnull=True)
                | Q(warn_below__lt=F("warn_above")),
                name="level_below_under_above",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.position}: {self.get_quantity_display()}"
