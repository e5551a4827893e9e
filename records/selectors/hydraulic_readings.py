"""Rounds of flow, head and power, and which pump they were read at.

What is read within an hour is one round. Whose it is: the pump that stood there then.
"""

from bisect import bisect_right
from collections import Counter, defaultdict
from dataclasses import dataclass, field
from datetime import datetime
from itertools import chain
from typing import Any

import numpy as np
from django.db.models import Case, Q, QuerySet, When
from django.db.models.functions import Coalesce

from plant.models import Placement
from plant.models.position import PositionQuerySet
from records.models import Reading
from records.reading_choices import RunningState
from records.selectors.hydraulic_rounds import (
    NO_PUMP,
    QUANTITIES,
    Floats,
    HydraulicRound,
    Ints,
    Rounds,
    SingleReadings,
)
from records.selectors.moments import Microseconds

__all__ = ["HydraulicRecord", "HydraulicRound", "Stay", "hydraulic_record"]

STRUCK, STANDBY = 1, 2


@dataclass(frozen=True, slots=True)
class Stay:
    """A pump at a position; `left` is empty while it stands there."""

    pump: int
    serial: str
    came: int
    left: int | None


@dataclass(frozen=True, slots=True)
class HydraulicRecord:
    """Rounds and stays of each position, oldest first, and single readings left out."""

    rounds: Rounds
    stays: dict[int, list[Stay]]
    struck: Counter[int] = field(default_factory=Counter)
    standby: Counter[int] = field(default_factory=Counter)

    def standing(self, position: int) -> Stay | None:
        """The pump that stands at the position now."""
        own = self.stays.get(position, [])
        return own[-1] if own and own[-1].left is None else None


def hydraulic_record(
    positions: PositionQuerySet, *, until: datetime, since: datetime | None = None
) -> HydraulicRecord:
    """All rounds of the positions up to a moment; two queries."""
    own = positions.order_by().values("pk")
    readings = Reading.objects.filter(
        position__in=own, quantity__in=QUANTITIES, read_at__lte=until
    )
    if since is not None:
        readings = readings.filter(read_at__gte=since)
    stays = _stays(own, until)
    position, pump, at, quantity, left_out, value = _columns(readings)
    struck, standby = (
        Counter(position[left_out == code].tolist()) for code in (STRUCK, STANDBY)
    )
    kept = left_out == 0
    _fill_in(pump, position, at, stays)
    read = SingleReadings(
        position[kept], pump[kept], at[kept], quantity[kept], value[kept]
    )
    return HydraulicRecord(Rounds(read), stays, struck, standby)


class _Plain:
    """Whole numbers come as whole numbers: none of the many needs a converter."""

    def get_db_converters(self, connection: Any) -> list[Any]:
        return []


class _PlainCase(_Plain, Case):
    pass


class _PlainCoalesce(_Plain, Coalesce):
    pass


def _columns(
    readings: QuerySet[Reading],
) -> tuple[Ints, Ints, Ints, Ints, Ints, Floats]:
    """One array a column, in order of position and time; none for an empty pump."""
    rows = (
        readings.annotate(
            pump_or_none=_PlainCoalesce("pump", NO_PUMP),
            at=Microseconds("read_at"),
            place=_PlainCase(
                *(
                    When(quantity=quantity, then=place)
                    for place, quantity in enumerate(QUANTITIES)
                )
            ),
            left_out=_PlainCase(
                When(~Q(struck_reason=""), then=STRUCK),
                When(~Q(running_state=RunningState.RUNNING), then=STANDBY),
                default=0,
            ),
        )
        .order_by("position", "read_at", "pk")
        .values_list("position", "pump_or_none", "at", "place", "left_out", "value")
    )
    # Every number here is below 2 ** 53, so that a float holds it whole.
    numbers = chain.from_iterable(rows.iterator(chunk_size=20_000))
    columns = np.fromiter(numbers, dtype=np.float64).reshape(-1, 6).T
    position, pump, at, quantity, left_out = columns[:5].astype(np.int64)
    return position, pump, at, quantity, left_out, columns[5]


def _fill_in(
    pump: Ints, position: Ints, at: Ints, stays: dict[int, list[Stay]]
) -> None:
    """The pump that stood there, where a reading names none."""
    for row in np.flatnonzero(pump == NO_PUMP):
        stood = _pump_at(stays.get(int(position[row]), []), int(at[row]))
        pump[row] = stood or NO_PUMP


def _stays(own: Any, until: datetime) -> dict[int, list[Stay]]:
    rows = (
        Placement.objects.filter(position__in=own, placed_at__lte=until)
        .annotate(came=Microseconds("placed_at"), went=Microseconds("removed_at"))
        .order_by("position", "placed_at", "pk")
        .values_list("position", "pump", "pump__serial_number", "came", "went")
    )
    stays: dict[int, list[Stay]] = defaultdict(list)
    for position, pump, serial, came, went in rows:
        stays[position].append(Stay(pump, serial, came, went))
    return dict(stays)


def _pump_at(stays: list[Stay], at: int) -> int | None:
    place = bisect_right(stays, at, key=lambda stay: stay.came) - 1
    if place < 0:
        return None
    stay = stays[place]
    return stay.pump if stay.left is None or at < stay.left else None
