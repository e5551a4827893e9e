"""Table of what a pump did as new."""

from collections.abc import Iterable
from typing import Any

from django.urls import reverse

from plant.display import NO_BREAK_SPACE, NO_VALUE, percent
from plant.display import date as day
from plant.listing import Column
from plant.models import AcceptancePoint
from plant.ratings.hydraulics import pump_efficiency
from plant.ratings.rating import RatingError
from plant.tables.cells import as_entered, cell

COLUMNS = (
    Column("Flow, m³/h", numeric=True),
    Column("Head, m", numeric=True),
    Column("Power at the shaft, kW", numeric=True),
    Column("Density, kg/m³", numeric=True),
    Column("Efficiency", numeric=True),
    Column("Measured on"),
    Column("Source"),
)
MAY_CHANGE = (Column("Change"), Column("Remove"))


def columns_for(may_change: bool) -> tuple[Column, ...]:
    return COLUMNS + MAY_CHANGE if may_change else COLUMNS


def efficiency_of(point: AcceptancePoint) -> str:
    """Hydraulic power over shaft power; a dash where the figures cannot be."""
    try:
        share = pump_efficiency(
            point.flow_m3_h, point.head_m, point.density_kg_m3, point.shaft_power_kw
        )
    except RatingError:
        return NO_VALUE
    return percent(share, 1)


def point_cells(
    points: Iterable[AcceptancePoint], *, may_change: bool
) -> list[list[dict[str, Any]]]:
    return [[*_facts(point), *_ways(point, may_change)] for point in points]


def _facts(point: AcceptancePoint) -> list[dict[str, Any]]:
    measured = (
        as_entered(point.flow_m3_h),
        as_entered(point.head_m),
        as_entered(point.shaft_power_kw),
        as_entered(point.density_kg_m3),
        efficiency_of(point),
    )
    return [
        *[cell(text, numeric=True) for text in measured],
        cell(day(point.measured_on)),
        cell(point.source),
    ]


def _ways(point: AcceptancePoint, may_change: bool) -> list[dict[str, Any]]:
    if not may_change:
        return []
    return [
        cell("Change", url=reverse("plant:acceptance_point_edit", args=[point.pk])),
        cell("Remove", url=reverse("plant:acceptance_point_remove", args=[point.pk])),
    ]


def point_in_words(point: AcceptancePoint) -> str:
    """Such as 60 m³/h, 42 m, 11.2 kW."""
    figures = [
        f"{as_entered(value)}{NO_BREAK_SPACE}{unit}"
        for value, unit in (
            (point.flow_m3_h, "m³/h"),
            (point.head_m, "m"),
            (point.shaft_power_kw, "kW"),
        )
    ]
    return ", ".join(figures)
