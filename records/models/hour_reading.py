"""Readings of the running-hour meter at a position."""

from django.db import models
from django.db.models import Q

from plant.models import Position


class HourReading(models.Model):
    """Meter value at a moment. After a meter change the count starts anew."""

    position = models.ForeignKey(
        Position, on_delete=models.PROTECT, related_name="hour_readings"
    )
    read_at = models.DateTimeField()
    meter_hours = models.FloatField()
    is_new_meter = models.BooleanField(
        default=False, help_text="First reading of a new or reset meter."
    )

    class Meta:
        ordering = ["position", "read_at"]
        constraints = [
            models.UniqueConstraint(
                fields=["position", "read_at"], name="one_hour_reading_at_a_time"
            ),
            models.CheckConstraint(
                condition=Q(meter_hours__gte=0), name="meter_hours_not_negative"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.position}: {self.meter_hours} h"
