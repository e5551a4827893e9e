"""A position with its pump, seal and bearing, as most repair tests need it."""

from dataclasses import dataclass
from datetime import UTC, datetime

from plant.choices import Component, ConditionFound, Location, WhyRemoved
from plant.models import FittedLife, Position, Pump, Site
from records.choices import Activity, Category, FailureMode, Item
from records.services.component_rows import ComponentIn, ComponentOut
from tests.factories.plant import (
    FittedLifeFactory,
    PlacementFactory,
    PositionFactory,
    PumpFactory,
    SiteFactory,
)

REPORTED = datetime(2024, 3, 1, 8, tzinfo=UTC)
STOPPED = datetime(2024, 3, 1, 10, tzinfo=UTC)
RETURNED = datetime(2024, 3, 2, 15, tzinfo=UTC)

FINISHED = {
    "reported_at": REPORTED,
    "stopped_at": STOPPED,
    "returned_at": RETURNED,
    "category": Category.CORRECTIVE,
    "activity": Activity.REPLACE,
    "failure_mode": FailureMode.ELP,
    "item": Item.SEAL,
}

# The answer when FINISHED is signed without any component taken out.
NOTHING_MOVED = ["failed:mechanical seal"]


@dataclass
class PlantAtHand:
    site: Site
    position: Position
    pump: Pump
    seal: FittedLife
    bearing: FittedLife


def plant_at_hand(tag: str = "P-101", serial: str = "SN-1") -> PlantAtHand:
    site = SiteFactory(name=f"North works {tag}")
    position = PositionFactory(area__site=site, tag=tag)
    pump = PumpFactory(site=site, serial_number=serial)
    PlacementFactory(position=position, pump=pump)
    seal = FittedLifeFactory(
        pump=pump, part_number="PART-7", faces="carbon / silicon carbide"
    )
    bearing = FittedLifeFactory(
        pump=pump,
        component=Component.RADIAL,
        location=Location.RADIAL_DE,
        designation="6309",
    )
    return PlantAtHand(site, position, pump, seal, bearing)


def seal_out(here, **facts):
    return ComponentOut(
        **{
            "life": here.seal,
            "why_removed": WhyRemoved.DEFECT,
            "defect_detected": True,
            "condition_found": ConditionFound.REJECT,
            **facts,
        }
    )


def seal_in(**details):
    return ComponentIn(
        component="seal", location=Location.SEAL_SINGLE_INNER, details=details
    )
