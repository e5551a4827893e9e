"""Positions: the tags of the plant, which stay while pumps come and go."""

from typing import TYPE_CHECKING

from django.db import models
from django.db.models import Q
from django.urls import reverse
from simple_history.models import HistoricalRecords

from plant.choices import Coupling, Criticality, Sparing
from plant.models.site import Area, Site
from plant.models.visible import VisibleQuerySet

if TYPE_CHECKING:
    from datetime import date


class SpareGroup(models.Model):
    """Positions that spare each other, and how many of them must run."""

    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="+")
    name = models.CharField(max_length=40)
    needed_running = models.PositiveSmallIntegerField(default=1)

    class Meta:
        ordering = ["site", "name"]
        constraints = [
            models.UniqueConstraint(
                fields=["site", "name"], name="spare_group_name_in_site"
            )
        ]

    def __str__(self) -> str:
        return self.name


class PositionQuerySet(VisibleQuerySet["Position"]):
    def in_service(self, on: "date") -> "PositionQuerySet":
        return self.filter(
            Q(in_service_on__isnull=True) | Q(in_service_on__lte=on),
            Q(out_of_service_on__isnull=True) | Q(out_of_service_on__gt=on),
        )


class Position(models.Model):
    """One tag: duty, surroundings and the time it was in service."""

    area = models.ForeignKey(Area, on_delete=models.PROTECT, related_name="positions")
    # Kept beside the area so that the database can hold the tag unique in its site.
    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="positions")
    tag = models.CharField(max_length=40)
    service = models.CharField(max_length=120, blank=True)
    liquid = models.CharField(max_length=80, blank=True)
    hazards = models.JSONField(default=list, blank=True)
    criticality = models.CharField(
        max_length=10, choices=Criticality, default=Criticality.MEDIUM
    )
    sparing = models.CharField(max_length=20, choices=Sparing, default=Sparing.NONE)
    spare_group = models.ForeignKey(
        SpareGroup,
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="positions",
    )
    stopped_cost_per_hour = models.DecimalField(
        max_digits=12, decimal_places=2, default=0
    )
    buffer_hours = models.FloatField(
        default=0.0,
        help_text="How long production goes on from tanks after the stop.",
    )
    output_share_lost = models.FloatField(
        default=1.0,
        help_text="Part of the stopped cost that a stop here costs, 0 to 1.",
    )
    coupling = models.CharField(max_length=20, choices=Coupling, blank=True)
    spacer_length_mm = models.FloatField(null=True, blank=True)
    vibration_category = models.CharField(
        max_length=1,
        blank=True,
        choices=[("1", "I"), ("2", "II")],
        help_text="Category of ISO 10816-7; empty: I where the liquid is toxic.",
    )
    flow_m3_h = models.FloatField(null=True, blank=True)
    bep_flow_m3_h = models.FloatField(null=True, blank=True)
    head_m = models.FloatField(null=True, blank=True)
    speed_rpm = models.FloatField(null=True, blank=True)
    power_kw = models.FloatField(null=True, blank=True)
    temperature_c = models.FloatField(null=True, blank=True)
    density_kg_m3 = models.FloatField(null=True, blank=True)
    in_service_on = models.DateField(null=True, blank=True)
    out_of_service_on = models.DateField(null=True, blank=True)
    records_from = models.DateField(
        null=True,
        blank=True,
        help_text="The day the log of this position begins; else that of the site.",
    )

    objects = PositionQuerySet.as_manager()
    history = HistoricalRecords()

    class Meta:
        ordering = ["site", "tag"]
        permissions = [("change_register", "Can change the asset register")]
        constraints = [
            models.UniqueConstraint(fields=["site", "tag"], name="tag_in_site"),
            models.CheckConstraint(
                condition=Q(out_of_service_on__isnull=True)
                | Q(in_service_on__isnull=True)
                | Q(out_of_service_on__gte=models.F("in_service_on")),
                name="position_out_after_in",
            ),
            models.CheckConstraint(
                condition=Q(buffer_hours__gte=0), name="buffer_hours_not_negative"
            ),
            models.CheckConstraint(
                condition=Q(output_share_lost__gte=0) & Q(output_share_lost__lte=1),
                name="output_share_lost_between_0_and_1",
            ),
        ]

    def __str__(self) -> str:
        return self.tag

    def get_absolute_url(self) -> str:
        return reverse("plant:position_detail", args=[self.pk])


class DutyPeriod(models.Model):
    """What holds at a position from one day on, until the next such row."""

    position = models.ForeignKey(
        Position, on_delete=models.CASCADE, related_name="duty_periods"
    )
    starts_on = models.DateField()
    running_share = models.FloatField(
        default=1.0, help_text="Share of calendar time the pump runs, 0 to 1."
    )
    piping_plan = models.CharField(max_length=20, blank=True)
    seal_support_system = models.CharField(max_length=120, blank=True)
    casing = models.CharField(max_length=120, blank=True)

    history = HistoricalRecords()

    class Meta:
        ordering = ["position", "starts_on"]
        constraints = [
            models.UniqueConstraint(
                fields=["position", "starts_on"], name="one_duty_period_per_day"
            ),
            models.CheckConstraint(
                condition=Q(running_share__gte=0) & Q(running_share__lte=1),
                name="running_share_between_0_and_1",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.position} from {self.starts_on}"
