"""What a pump did as new: points of its acceptance test or curve."""

from django.db import models
from django.db.models import Q
from simple_history.models import HistoricalRecords

from plant.models.pump import Pump


class AcceptancePoint(models.Model):
    """Flow, head and power at one point, with the liquid it was measured on."""

    pump = models.ForeignKey(
        Pump, on_delete=models.CASCADE, related_name="acceptance_points"
    )
    flow_m3_h = models.FloatField()
    head_m = models.FloatField()
    shaft_power_kw = models.FloatField()
    density_kg_m3 = models.FloatField(default=998.0)
    measured_on = models.DateField(null=True, blank=True)
    source = models.CharField(
        max_length=120, blank=True, help_text="Acceptance test, curve sheet or other."
    )

    history = HistoricalRecords()

    class Meta:
        ordering = ["pump", "flow_m3_h"]
        constraints = [
            models.UniqueConstraint(
                fields=["pump", "flow_m3_h"], name="one_acceptance_point_a_flow"
            ),
            models.CheckConstraint(
                condition=Q(flow_m3_h__gt=0)
                & Q(head_m__gt=0)
                & Q(shaft_power_kw__gt=0)
                & Q(density_kg_m3__gt=0),
                name="acceptance_point_above_zero",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.pump} at {self.flow_m3_h:g} m³/h"
