"""Pumps: the assemblies with a serial number, which move between positions."""

from django.contrib.postgres.fields import RangeOperators
from django.db import models
from django.db.models import Q
from django.urls import reverse
from simple_history.models import HistoricalRecords

from plant.choices import Assembly, ImpellerKind, Mounting
from plant.constraints import NoOverlap
from plant.models.position import Position
from plant.models.site import Site
from plant.models.visible import VisibleQuerySet


class TimeRange(models.Func):
    """Half-open span of time; an empty end means still going on."""

    function = "TSTZRANGE"
    output_field = models.CharField()


class PumpQuerySet(VisibleQuerySet["Pump"]):
    """Pumps, by what a person may see."""


class Pump(models.Model):
    """The assembly that carries seal and bearings under one serial number."""

    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="pumps")
    serial_number = models.CharField(max_length=60)
    maker = models.CharField(max_length=80, blank=True)
    assembly = models.CharField(max_length=20, choices=Assembly, default=Assembly.WHOLE)
    design = models.CharField(max_length=60, blank=True)
    size = models.CharField(max_length=40, blank=True)
    casing_material = models.CharField(max_length=60, blank=True)
    mounting = models.CharField(max_length=20, choices=Mounting, blank=True)
    impeller_kind = models.CharField(max_length=20, choices=ImpellerKind, blank=True)
    has_sleeve = models.BooleanField(null=True, blank=True)
    shaft_overhang_mm = models.FloatField(null=True, blank=True)
    shaft_diameter_mm = models.FloatField(null=True, blank=True)
    retired_on = models.DateField(null=True, blank=True)
    records_from = models.DateField(null=True, blank=True)

    objects = PumpQuerySet.as_manager()
    history = HistoricalRecords()

    class Meta:
        ordering = ["serial_number"]
        constraints = [
            models.UniqueConstraint(
                fields=["maker", "serial_number"], name="serial_number_of_maker"
            )
        ]

    def __str__(self) -> str:
        return self.serial_number

    def get_absolute_url(self) -> str:
        return reverse("plant:pump_detail", args=[self.pk])


class Placement(models.Model):
    """A pump at a position, from one moment to another (empty: still there)."""

    pump = models.ForeignKey(Pump, on_delete=models.PROTECT, related_name="placements")
    position = models.ForeignKey(
        Position, on_delete=models.PROTECT, related_name="placements"
    )
    placed_at = models.DateTimeField()
    removed_at = models.DateTimeField(null=True, blank=True)

    history = HistoricalRecords()

    class Meta:
        ordering = ["position", "placed_at"]
        constraints = [
            models.CheckConstraint(
                condition=Q(removed_at__isnull=True)
                | Q(removed_at__gte=models.F("placed_at")),
                name="placement_removed_after_placed",
            ),
            models.UniqueConstraint(
                fields=["pump"],
                condition=Q(removed_at__isnull=True),
                name="pump_at_one_position",
            ),
            models.UniqueConstraint(
                fields=["position"],
                condition=Q(removed_at__isnull=True),
                name="position_holds_one_pump",
            ),
            NoOverlap(
                name="pump_placements_do_not_overlap",
                expressions=[
                    ("pump", RangeOperators.EQUAL),
                    (TimeRange("placed_at", "removed_at"), RangeOperators.OVERLAPS),
                ],
            ),
            NoOverlap(
                name="position_placements_do_not_overlap",
                expressions=[
                    ("position", RangeOperators.EQUAL),
                    (TimeRange("placed_at", "removed_at"), RangeOperators.OVERLAPS),
                ],
            ),
        ]

    def __str__(self) -> str:
        return f"{self.pump} at {self.position}"
