"""Readings of the demo plant: monthly rounds of the last two years.

They come from a generator of their own, so that the history of repairs stays as it
is. Two truths lie in them: the bad actors shake more and more, and one pump wears.
"""

from collections.abc import Iterator
from datetime import datetime, timedelta

import numpy as np

from plant.models import Placement, Position, Site
from records.demo.truths import BAD_ACTORS
from records.models import Reading
from records.reading_choices import UNIT_OF_QUANTITY, Point, Quantity

SEED = 51
ROUNDS = 24
DAYS_BETWEEN_ROUNDS = 30.4
WORN_TAG = "P-1207A"
# Head lost at the same flow by the end, while the power stays.
WORN_HEAD_LOST = 0.16
MOTOR_EFFICIENCY = 0.93
PUMP_EFFICIENCY = 0.62
GRAVITY = 9.81
Value = tuple[Quantity, Point, float]


def rounds_store(site: Site, ends_at: datetime) -> None:
    """Store the rounds of every position that is in service."""
    rng = np.random.default_rng(SEED)
    positions = Position.objects.filter(site=site, out_of_service_on=None)
    placements: dict[int, list[Placement]] = {}
    for placement in Placement.objects.filter(position__site=site):
        placements.setdefault(placement.position_id, []).append(placement)
    Reading.objects.bulk_create(
        (
            Reading(
                position=position,
                pump_id=_pump_at(placements.get(position.pk, []), read_at),
                read_at=read_at,
                quantity=quantity,
                point=point,
                value=round(value, 3),
                entered_value=f"{value:.2f}",
                entered_unit=UNIT_OF_QUANTITY[quantity],
            )
            for position in positions.order_by("tag")
            for read_at, quantity, point, value in _rounds(position, ends_at, rng)
        ),
        batch_size=2_000,
    )


def _pump_at(placements: list[Placement], moment: datetime) -> int | None:
    for placement in placements:
        left = placement.removed_at
        if placement.placed_at <= moment and (left is None or left > moment):
            return placement.pump_id
    return None


def _rounds(
    position: Position, ends_at: datetime, rng: np.random.Generator
) -> Iterator[tuple[datetime, Quantity, Point, float]]:
    base = float(rng.lognormal(np.log(1.7), 0.25))
    warmth = float(rng.uniform(52, 66))
    for turn in range(ROUNDS):
        days_ago = (ROUNDS - 1 - turn) * DAYS_BETWEEN_ROUNDS + rng.uniform(1, 9)
        read_at = ends_at - timedelta(days=float(days_ago))
        read_at = read_at.replace(minute=0, second=0, microsecond=0)
        share = turn / (ROUNDS - 1)
        values = _shaking(position, base, warmth, share, rng)
        if turn % 3 == 2:
            values += _duty(position, share, rng)
        for quantity, point, value in values:
            yield read_at, quantity, point, value


def _shaking(
    position: Position,
    base: float,
    warmth: float,
    share: float,
    rng: np.random.Generator,
) -> list[Value]:
    level = 2.9 + 4.2 * share if position.tag in BAD_ACTORS else base
    return [
        (
            Quantity.VIBRATION,
            Point.DE_HORIZONTAL,
            float(level * rng.lognormal(0.0, 0.06)),
        ),
        (
            Quantity.VIBRATION,
            Point.NDE_VERTICAL,
            float(0.8 * level * rng.lognormal(0.0, 0.06)),
        ),
        (
            Quantity.TEMPERATURE,
            Point.DE_BEARING,
            float(warmth + 6 * np.sin(6.28 * share * 2) + rng.normal(0, 1)),
        ),
    ]


def _duty(position: Position, share: float, rng: np.random.Generator) -> list[Value]:
    """Flow, head and power of one round, at about the same flow each time."""
    if not (position.flow_m3_h and position.head_m and position.density_kg_m3):
        return []
    worn = WORN_HEAD_LOST * share if position.tag == WORN_TAG else 0.0
    flow = position.flow_m3_h * float(rng.normal(1.0, 0.01))
    head = position.head_m * (1 - worn) * float(rng.normal(1.0, 0.006))
    as_new = position.density_kg_m3 * GRAVITY * position.head_m * flow / 3600 / 1000
    power = as_new / PUMP_EFFICIENCY / MOTOR_EFFICIENCY
    return [
        (Quantity.FLOW, Point.NONE, flow),
        (Quantity.HEAD, Point.NONE, head),
        (Quantity.POWER, Point.NONE, power * float(rng.normal(1.0, 0.006))),
    ]
