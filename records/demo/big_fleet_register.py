"""Register rows of the generated fleet: areas, positions, pumps, stays, duty, hours."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import islice
from typing import TypeVar

import numpy as np
from django.db import models

from plant.choices import Criticality, ImpellerKind, Mounting, Sparing
from plant.models import Area, DutyPeriod, Placement, Position, Pump, Site, SpareGroup
from records.demo.big_fleet_plan import (
    AREA_SIZE,
    DAYS,
    LIQUIDS,
    PLANS,
    FleetPlan,
)
from records.models import HourReading

BATCH = 5_000
MINUTES = 24 * 60
DAYS_BETWEEN_READINGS = 365.0
Row = TypeVar("Row", bound=models.Model)


@dataclass(frozen=True, slots=True)
class Clock:
    """Days since the start of the log as moments, to the minute."""

    start: datetime

    def at(self, day: float) -> datetime:
        return self.start + timedelta(minutes=round(day * MINUTES))


@dataclass(frozen=True, slots=True)
class Register:
    """Keys of the stored rows, in the order of the plan."""

    site: Site
    positions: list[int]
    pumps: list[int]


def rows_insert(model: type[Row], rows: Iterable[Row]) -> list[int]:
    """Store rows by the thousand, without holding all of them; their keys."""
    keys: list[int] = []
    rows = iter(rows)
    while batch := list(islice(rows, BATCH)):
        model._default_manager.bulk_create(batch, batch_size=BATCH)
        keys += [row.pk for row in batch]
    return keys


def register_store(plan: FleetPlan, site: Site, clock: Clock) -> Register:
    """Store everything that repairs and lives hang on."""
    areas = rows_insert(
        Area,
        (
            Area(site=site, name=f"Unit {number + 1:03d}")
            for number in range(-(-plan.size // AREA_SIZE))
        ),
    )
    groups = _spare_groups(plan, site)
    positions = rows_insert(Position, _positions(plan, site, clock, areas, groups))
    pumps = rows_insert(Pump, _pumps(plan, site, clock))
    rows_insert(Placement, _placements(plan, clock, positions, pumps))
    rows_insert(DutyPeriod, _duties(plan, clock, positions))
    rows_insert(HourReading, _readings(plan, clock, positions))
    return Register(site, positions, pumps)


def _spare_groups(plan: FleetPlan, site: Site) -> dict[int, int]:
    """Key of the spare group of each position that has one."""
    second = np.flatnonzero(plan.standby).tolist()
    groups = rows_insert(
        SpareGroup, (SpareGroup(site=site, name=plan.tag(one - 1)) for one in second)
    )
    of_second = dict(zip(second, groups, strict=True))
    return of_second | {one - 1: key for one, key in of_second.items()}


def _positions(
    plan: FleetPlan,
    site: Site,
    clock: Clock,
    areas: list[int],
    groups: dict[int, int],
) -> Iterator[Position]:
    levels = list(Criticality)
    begun = plan.in_service_day.tolist()
    for index, kind in enumerate(plan.liquid.tolist()):
        liquid, hazards, service = LIQUIDS[kind]
        yield Position(
            site=site,
            area_id=areas[index // AREA_SIZE],
            tag=plan.tag(index),
            service=service,
            liquid=liquid,
            hazards=[str(hazard) for hazard in hazards],
            criticality=levels[index % len(levels)],
            sparing=Sparing.INSTALLED if index in groups else Sparing.NONE,
            spare_group_id=groups.get(index),
            stopped_cost_per_hour=0 if index in groups else 150,
            flow_m3_h=40 + index % 50,
            bep_flow_m3_h=60,
            head_m=45,
            speed_rpm=2_950,
            temperature_c=40,
            density_kg_m3=1_000,
            in_service_on=clock.at(begun[index]).date() if begun[index] else None,
        )


def _pumps(plan: FleetPlan, site: Site, clock: Clock) -> Iterator[Pump]:
    died = plan.stays.died.tolist() + [np.inf] * plan.stays.stored
    for index, end in enumerate(died):
        yield Pump(
            site=site,
            serial_number=f"BF-{index + 1:06d}",
            design="overhung end suction",
            size="65-200",
            mounting=Mounting.OVERHUNG,
            impeller_kind=ImpellerKind.CLOSED,
            shaft_overhang_mm=200,
            shaft_diameter_mm=40,
            retired_on=clock.at(end).date() if end < DAYS else None,
        )


def _placements(
    plan: FleetPlan, clock: Clock, positions: list[int], pumps: list[int]
) -> Iterator[Placement]:
    stays = plan.stays
    columns = (stays.pump, stays.position, stays.from_day, stays.to_day)
    for pump, position, begun, end in zip(*(c.tolist() for c in columns), strict=True):
        yield Placement(
            pump_id=pumps[pump],
            position_id=positions[position],
            placed_at=clock.at(begun),
            removed_at=clock.at(end) if end < DAYS else None,
        )


def _duties(
    plan: FleetPlan, clock: Clock, positions: list[int]
) -> Iterator[DutyPeriod]:
    columns = (plan.share, plan.piping_plan, plan.in_service_day)
    rows = zip(positions, *(c.tolist() for c in columns), strict=True)
    for position, share, piping_plan, begun in rows:
        yield DutyPeriod(
            position_id=position,
            starts_on=clock.at(begun).date(),
            running_share=share,
            piping_plan=PLANS[piping_plan],
        )


def _readings(
    plan: FleetPlan, clock: Clock, positions: list[int]
) -> Iterator[HourReading]:
    """One a year, where there is a meter."""
    for index in np.flatnonzero(plan.has_meter).tolist():
        day = float(plan.in_service_day[index]) + index % 300
        hours = 0.0
        while day < DAYS:
            yield HourReading(
                position_id=positions[index],
                read_at=clock.at(day),
                meter_hours=round(hours),
            )
            day += DAYS_BETWEEN_READINGS
            hours += DAYS_BETWEEN_READINGS * 24 * float(plan.share[index])
