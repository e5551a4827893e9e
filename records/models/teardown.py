"""What was seen when a part was taken apart: the findings of a repair."""

from django.db import models
from simple_history.models import HistoricalRecords

from records.models.repair import Repair


class TeardownFinding(models.Model):
    """One pattern seen at teardown; `pattern` is a code of the pattern catalogue."""

    repair = models.ForeignKey(
        Repair, on_delete=models.CASCADE, related_name="teardown_findings"
    )
    pattern = models.CharField(max_length=40)
    note = models.CharField(max_length=300, blank=True)

    history = HistoricalRecords()

    class Meta:
        ordering = ["repair", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["repair", "pattern"], name="pattern_once_per_repair"
            )
        ]

    def __str__(self) -> str:
        return self.pattern
