"""The rows behind the figures of the Fleet page."""

from typing import Any

from django.db import models
from django.db.models import Exists, F, Q, QuerySet

from analytics.reports.fleet.concerns import high_zones, overdue_actions
from analytics.reports.fleet.spares import STOPS_THE_PUMP, without_ready_spare
from analytics.scope import Scope
from plant.choices import BEARINGS, Beginning, Component
from plant.models import FittedLife, Placement
from records.choices import Release, RepairState
from records.counting import counted_failures
from records.models import Repair
from records.models.repair import RepairQuerySet
from records.selectors.costs import repairs_reported


class RowKind(models.TextChoices):
    RELEASES = "releases", "Releases to the outside, 12 months"
    NO_SPARE = "no-spare", "Positions without a ready spare now"
    STOPPED = "stopped", "Pumps stopped now"
    UNSIGNED = "unsigned", "Repairs not signed yet"
    HIGH_ZONE = "zone-c-d", "Pumps in vibration zone C or D"
    OVERDUE = "overdue-actions", "Actions overdue"
    NO_SEAL = "no-seal", "Pumps in service without a seal on record"
    NO_BEARING = "no-bearing", "Pumps in service without a bearing on record"
    NO_MODE = "no-mode", "Failures without a failure mode, 12 months"
    UNKNOWN_BEGINNING = "unknown-beginning", "Seals and bearings of unknown beginning"

    @property
    def is_gap(self) -> bool:
        """Whether it is a gap in the records and not a fact of the plant."""
        return self in GAPS

    @property
    def meaning(self) -> str:
        return MEANINGS[self]


GAPS = (
    RowKind.NO_SEAL,
    RowKind.NO_BEARING,
    RowKind.NO_MODE,
    RowKind.UNKNOWN_BEGINNING,
)
MEANINGS = {
    RowKind.STOPPED: "Stopped for a repair and not handed back; one pump may wait for "
    "several repairs.",
    RowKind.UNSIGNED: "They count from the report on; sign them to settle the figures.",
    RowKind.RELEASES: "What escaped reached the outside or had to be reported.",
    RowKind.NO_SPARE: "Too few others of its spare group are ready to run; or it "
    "has no spare, and its pump is stopped.",
    RowKind.HIGH_ZONE: "By the latest vibration reading while running.",
    RowKind.OVERDUE: "Open, and the due day is past.",
    RowKind.NO_SEAL: "A log of failures alone shortens every life: enter what is "
    "fitted, also when its beginning is unknown.",
    RowKind.NO_BEARING: "A log of failures alone shortens every life: enter what is "
    "fitted, also when its beginning is unknown.",
    RowKind.NO_MODE: "They are missing from every breakdown by failure mode.",
    RowKind.UNKNOWN_BEGINNING: "They count, but cannot enter a fit of ages.",
}


def rows_count(kind: RowKind, scope: Scope) -> int:
    """How many of what the label names; a pump may wait for several repairs."""
    rows = rows_of_kind(kind, scope)
    if kind is RowKind.STOPPED:
        return rows.order_by().values("position").distinct().count()
    return rows.count()


def rows_of_kind(kind: RowKind, scope: Scope) -> QuerySet[Any]:
    """Repairs, placements, lives, positions or actions, by kind."""
    if kind is RowKind.NO_SPARE:
        return without_ready_spare(scope)
    if kind is RowKind.HIGH_ZONE:
        return scope.positions().filter(pk__in=high_zones(scope)).order_by("tag", "pk")
    if kind is RowKind.OVERDUE:
        return overdue_actions(scope)
    if kind is RowKind.STOPPED:
        return _repairs(scope).filter(STOPS_THE_PUMP)
    if kind is RowKind.UNSIGNED:
        return _repairs(scope).filter(state=RepairState.DRAFT)
    if kind is RowKind.RELEASES:
        return _last_year(scope).filter(
            release__in=[Release.OUTSIDE, Release.REPORTABLE]
        )
    if kind is RowKind.NO_MODE:
        return _last_year(scope).filter(counted_failures(scope.rules), failure_mode="")
    if kind is RowKind.UNKNOWN_BEGINNING:
        return _lives(scope).filter(beginning=Beginning.UNKNOWN)
    components = (Component.SEAL,) if kind is RowKind.NO_SEAL else BEARINGS
    return _placements_without(scope, components)


def _repairs(scope: Scope) -> RepairQuerySet:
    return (
        Repair.objects.not_void()
        .filter(position__in=scope.positions().order_by().values("pk"))
        .order_by("-reported_at", "-pk")
    )


def _last_year(scope: Scope) -> RepairQuerySet:
    return repairs_reported(
        user=scope.user,
        site=scope.site,
        area=scope.area,
        start=scope.window.start,
        end=scope.window.end,
    )


def _standing(scope: Scope) -> QuerySet[Placement]:
    return Placement.objects.filter(
        Q(pump__retired_on__isnull=True) | Q(pump__retired_on__gt=scope.window.end),
        removed_at__isnull=True,
        position__in=scope.positions()
        .in_service(scope.window.end)
        .order_by()
        .values("pk"),
    )


def _lives(scope: Scope) -> QuerySet[FittedLife]:
    return (
        FittedLife.objects.still_in()
        .filter(pump__in=_standing(scope).order_by().values("pump"))
        .order_by("-fitted_at", "-pk")
    )


def _placements_without(
    scope: Scope, components: tuple[Component, ...]
) -> QuerySet[Placement]:
    fitted = FittedLife.objects.still_in().filter(
        pump=models.OuterRef("pump"), component__in=[str(name) for name in components]
    )
    return (
        _standing(scope).filter(~Exists(fitted)).order_by(F("placed_at").desc(), "-pk")
    )
