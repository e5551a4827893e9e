"""Fitted lives: one seal or bearing from its fitting to its removal."""

from django.contrib.postgres.fields import RangeOperators
from django.db import models
from django.db.models import F, Q
from simple_history.models import HistoricalRecords

from plant.choices import (
    BEARINGS,
    LOCATIONS,
    Arrangement,
    Beginning,
    Component,
    ConditionFitted,
    ConditionFound,
    FlexibleElement,
    Location,
    SealKind,
    WhyRemoved,
)
from plant.constraints import NoOverlap
from plant.models.position import Position
from plant.models.pump import Pump, TimeRange
from plant.models.visible import VisibleQuerySet


def location_matches_component() -> Q:
    """Condition that a seal stands at a seal's place and a bearing at a bearing's."""
    condition = Q()
    for component, places in LOCATIONS.items():
        condition |= Q(component=component, location__in=[str(p) for p in places])
    return condition


class FittedLifeQuerySet(VisibleQuerySet["FittedLife"]):
    site_lookup = "pump__site"

    def still_in(self) -> "FittedLifeQuerySet":
        return self.filter(removed_at__isnull=True)

    def seals(self) -> "FittedLifeQuerySet":
        return self.filter(component=Component.SEAL)

    def bearings(self) -> "FittedLifeQuerySet":
        return self.filter(component__in=BEARINGS)


class FittedLife(models.Model):
    """What was fitted, when it ran, how it was found. How it ended is derived."""

    pump = models.ForeignKey(Pump, on_delete=models.PROTECT, related_name="lives")
    component = models.CharField(max_length=20, choices=Component)
    location = models.CharField(max_length=20, choices=Location)

    beginning = models.CharField(
        max_length=10, choices=Beginning, default=Beginning.KNOWN
    )
    fitted_at = models.DateTimeField()
    started_at = models.DateTimeField(
        null=True, blank=True, help_text="First start; else the hand-back."
    )
    ended_at = models.DateTimeField(
        null=True, blank=True, help_text="Failure as reported or, if sound, the stop."
    )
    removed_at = models.DateTimeField(null=True, blank=True)
    age_at_entry_days = models.FloatField(null=True, blank=True)
    age_at_entry_hours = models.FloatField(null=True, blank=True)
    fitted_hours = models.FloatField(null=True, blank=True)
    removed_hours = models.FloatField(null=True, blank=True)
    fitted_starts = models.PositiveIntegerField(null=True, blank=True)
    removed_starts = models.PositiveIntegerField(null=True, blank=True)

    defect_detected = models.BooleanField(null=True, blank=True)
    condition_found = models.CharField(
        max_length=20, choices=ConditionFound, blank=True
    )
    why_removed = models.CharField(max_length=20, choices=WhyRemoved, blank=True)

    condition_fitted = models.CharField(
        max_length=20, choices=ConditionFitted, default=ConditionFitted.NEW
    )
    serial = models.CharField(max_length=60, blank=True)
    part_number = models.CharField(max_length=60, blank=True)

    arrangement = models.PositiveSmallIntegerField(
        choices=Arrangement, null=True, blank=True
    )
    kind = models.CharField(max_length=20, choices=SealKind, blank=True)
    flexible_element = models.CharField(
        max_length=20, choices=FlexibleElement, blank=True
    )
    faces = models.CharField(max_length=60, blank=True)
    secondary_seal = models.CharField(max_length=60, blank=True)
    piping_plan = models.CharField(max_length=20, blank=True)

    designation = models.CharField(max_length=60, blank=True)
    bearing_arrangement = models.CharField(max_length=60, blank=True)
    lubrication = models.CharField(max_length=60, blank=True)
    dynamic_rating_kn = models.FloatField(null=True, blank=True)
    dynamic_rating_source = models.CharField(max_length=120, blank=True)
    load_kn = models.FloatField(null=True, blank=True)

    # Copied at fitting, so that a later change of duty does not rewrite this life.
    position = models.ForeignKey(
        Position, null=True, blank=True, on_delete=models.PROTECT, related_name="lives"
    )
    liquid = models.CharField(max_length=80, blank=True)
    service = models.CharField(max_length=120, blank=True)
    temperature_c = models.FloatField(null=True, blank=True)
    running_share = models.FloatField(null=True, blank=True)

    objects = FittedLifeQuerySet.as_manager()
    history = HistoricalRecords()

    class Meta:
        ordering = ["pump", "location", "fitted_at"]
        constraints = [
            models.CheckConstraint(
                condition=location_matches_component(),
                name="life_location_matches_component",
            ),
            models.CheckConstraint(
                condition=Q(removed_at__isnull=True)
                | Q(removed_at__gte=F("fitted_at")),
                name="life_removed_after_fitted",
            ),
            models.CheckConstraint(
                condition=Q(started_at__isnull=True)
                | Q(started_at__gte=F("fitted_at")),
                name="life_started_after_fitted",
            ),
            models.CheckConstraint(
                condition=Q(ended_at__isnull=True)
                | (
                    Q(removed_at__isnull=False)
                    & Q(ended_at__lte=F("removed_at"))
                    & Q(ended_at__gte=F("fitted_at"))
                ),
                name="life_ended_between_fitted_and_removed",
            ),
            models.CheckConstraint(
                condition=~Q(beginning=Beginning.AGE_KNOWN)
                # Without the null tests an empty age is neither true nor false to
                # SQL, and such a check lets the row pass.
                | Q(age_at_entry_days__isnull=False, age_at_entry_days__gte=0)
                | Q(age_at_entry_hours__isnull=False, age_at_entry_hours__gte=0),
                name="life_age_known_has_age",
            ),
            models.CheckConstraint(
                condition=Q(removed_at__isnull=False) | Q(why_removed=""),
                name="life_still_in_has_no_removal_reason",
            ),
            models.UniqueConstraint(
                fields=["pump", "location"],
                condition=Q(removed_at__isnull=True),
                name="one_life_still_in_per_location",
            ),
            NoOverlap(
                name="lives_do_not_overlap",
                expressions=[
                    ("pump", RangeOperators.EQUAL),
                    ("location", RangeOperators.EQUAL),
                    (TimeRange("fitted_at", "removed_at"), RangeOperators.OVERLAPS),
                ],
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_location_display()} of {self.pump}"

    @property
    def is_seal(self) -> bool:
        return self.component == Component.SEAL

    @property
    def part(self) -> str:
        """The name of its kind: a seal's part number, a bearing's designation."""
        return self.part_number if self.is_seal else self.designation


class SealManager(models.Manager["Seal"]):
    def get_queryset(self) -> models.QuerySet["Seal"]:
        return super().get_queryset().filter(component=Component.SEAL)


class Seal(FittedLife):
    """A mechanical seal's fitted life."""

    objects = SealManager()  # type: ignore[assignment,misc]

    class Meta:
        proxy = True


class BearingManager(models.Manager["Bearing"]):
    def get_queryset(self) -> models.QuerySet["Bearing"]:
        return super().get_queryset().filter(component__in=BEARINGS)


class Bearing(FittedLife):
    """A rolling bearing's fitted life."""

    objects = BearingManager()  # type: ignore[assignment,misc]

    class Meta:
        proxy = True
