"""Checks: settings measured on the bench, as found and as left, and their limits."""

from django.conf import settings
from django.db import models
from django.db.models import F, Q
from simple_history.models import HistoricalRecords

from plant.models import Site
from records.check_choices import Certainty, CheckKind, CheckStage
from records.models.repair import Repair


class CheckLimit(models.Model):
    """A limit that a site set itself; it goes before the one the logbook ships.

    Blank fields fit anything. Of several that fit, the one that names most holds.
    """

    site = models.ForeignKey(Site, on_delete=models.CASCADE, related_name="+")
    kind = models.CharField(max_length=30, choices=CheckKind)
    design = models.CharField(max_length=60, blank=True)
    size = models.CharField(max_length=40, blank=True)
    low = models.FloatField(null=True, blank=True)
    high = models.FloatField(null=True, blank=True)
    source = models.CharField(max_length=200)
    certainty = models.CharField(max_length=20, choices=Certainty)

    history = HistoricalRecords()

    class Meta:
        ordering = ["site", "kind", "design", "size"]
        permissions = [("change_limits", "Can change limits of checks and readings")]
        constraints = [
            models.UniqueConstraint(
                fields=["site", "kind", "design", "size"], name="one_limit_per_case"
            ),
            models.CheckConstraint(
                condition=Q(low__isnull=False) | Q(high__isnull=False),
                name="limit_has_an_end",
            ),
            models.CheckConstraint(
                condition=Q(low__isnull=True)
                | Q(high__isnull=True)
                | Q(low__lte=F("high")),
                name="limit_low_below_high",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} at {self.site}"


class SettingCheck(models.Model):
    """One measured setting of a repair, or the reason why it was not measured.

    `value` is in the unit of its kind (SI); what was typed stands beside it. The
    limit is the one shown when it was measured: a later limit changes nothing here.
    """

    repair = models.ForeignKey(Repair, on_delete=models.CASCADE, related_name="checks")
    kind = models.CharField(max_length=30, choices=CheckKind)
    stage = models.CharField(max_length=10, choices=CheckStage)
    value = models.FloatField(null=True, blank=True)
    entered_value = models.CharField(max_length=30, blank=True)
    entered_unit = models.CharField(max_length=20, blank=True)
    not_measured_reason = models.CharField(max_length=200, blank=True)
    limit_low = models.FloatField(null=True, blank=True)
    limit_high = models.FloatField(null=True, blank=True)
    limit_source = models.CharField(max_length=200, blank=True)
    out_of_limit_reason = models.CharField(max_length=200, blank=True)
    instrument = models.CharField(max_length=60, blank=True)
    entered_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )
    measured_at = models.DateTimeField(null=True, blank=True)

    history = HistoricalRecords()

    class Meta:
        ordering = ["repair", "kind", "stage"]
        constraints = [
            models.UniqueConstraint(
                fields=["repair", "kind", "stage"], name="one_check_per_kind_and_stage"
            ),
            models.CheckConstraint(
                condition=Q(value__isnull=False) | ~Q(not_measured_reason=""),
                name="check_has_value_or_reason",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_kind_display()}, {self.get_stage_display().lower()}"

    @property
    def is_out_of_limit(self) -> bool:
        """Beyond the limit that was shown; false when not measured or no limit."""
        if self.value is None:
            return False
        below = self.limit_low is not None and self.value < self.limit_low
        above = self.limit_high is not None and self.value > self.limit_high
        return below or above
