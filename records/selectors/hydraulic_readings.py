"""Rounds of flow, head and power, and which pump they were read at.

What is read within an hour is one round. Whose it is: the pump that stood there then.
"""

from bisect import bisect_right
from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import Any

from django.db.models import QuerySet

from plant.models import Placement
from plant.models.position import PositionQuerySet
from records.models import Reading
from records.reading_choices import Quantity, RunningState
from records.selectors.moments import SECOND, Microseconds

ROUND = 3600 * SECOND
GRAVITY = 9.80665
PASCAL_PER_BAR = 1e5
QUANTITIES = (
    Quantity.FLOW,
    Quantity.HEAD,
    Quantity.SUCTION,
    Quantity.DISCHARGE,
    Quantity.POWER,
)


@dataclass(frozen=True, slots=True)
class HydraulicRound:
    """What one round read; `values` are means where a quantity was read twice.

    `pump` is None where no pump was on record at the position then. Power is that at
    the motor's terminals; pressures are in bar.
    """

    position: int
    pump: int | None
    microseconds: int
    values: dict[str, float]
    is_whole: bool

    @property
    def read_at(self) -> datetime:
        return datetime.fromtimestamp(0, UTC) + timedelta(
            microseconds=self.microseconds
        )

    @property
    def flow_m3_h(self) -> float | None:
        return self.values.get(Quantity.FLOW)

    @property
    def motor_power_kw(self) -> float | None:
        return self.values.get(Quantity.POWER)

    @property
    def head_is_read(self) -> bool:
        return Quantity.HEAD in self.values

    def head_m(self, density_kg_m3: float | None) -> float | None:
        """Head as read, else discharge less suction pressure over the density.

        Without the velocity head and the height between the two gauges.
        """
        if self.head_is_read:
            return self.values[Quantity.HEAD]
        suction = self.values.get(Quantity.SUCTION)
        discharge = self.values.get(Quantity.DISCHARGE)
        if suction is None or discharge is None or not density_kg_m3:
            return None
        return (discharge - suction) * PASCAL_PER_BAR / (density_kg_m3 * GRAVITY)

    @property
    def missing(self) -> str:
        """What was not read, in words; empty where the round is whole."""
        found = {
            "flow": self.flow_m3_h is not None,
            "head": _tells_head(self.values),
            "power": self.motor_power_kw is not None,
        }
        return " and ".join(name for name, is_read in found.items() if not is_read)


def _tells_head(values: dict[str, float]) -> bool:
    return Quantity.HEAD in values or (
        Quantity.SUCTION in values and Quantity.DISCHARGE in values
    )


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

    rounds: dict[int, list[HydraulicRound]]
    stays: dict[int, list[Stay]]
    struck: Counter[int] = field(default_factory=Counter)
    standby: Counter[int] = field(default_factory=Counter)

    def standing(self, position: int) -> Stay | None:
        """The pump that stands at the position now."""
        own = self.stays.get(position, [])
        return own[-1] if own and own[-1].left is None else None


Typed = tuple[int, int | None, int, str, float]


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
    record = HydraulicRecord({}, _stays(own, until))
    _take(readings, record)
    return record


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


def _take(readings: QuerySet[Reading], record: HydraulicRecord) -> None:
    rows = (
        readings.annotate(at=Microseconds("read_at"))
        .order_by("position", "read_at", "pk")
        .values_list(
            *("position", "pump", "at", "quantity", "value"),
            *("running_state", "struck_reason"),
        )
    )
    standing: list[Typed] = []
    for *typed, state, struck in rows.iterator(chunk_size=5_000):
        if struck:
            record.struck[typed[0]] += 1
        elif state != RunningState.RUNNING:
            record.standby[typed[0]] += 1
        else:
            position, pump, at, quantity, value = typed
            if pump is None:
                pump = _pump_at(record.stays.get(position, []), at)
            standing.append((position, pump, at, quantity, value))
    for one in _rounds(standing):
        record.rounds.setdefault(one.position, []).append(one)


def _pump_at(stays: list[Stay], at: int) -> int | None:
    place = bisect_right(stays, at, key=lambda stay: stay.came) - 1
    if place < 0:
        return None
    stay = stays[place]
    return stay.pump if stay.left is None or at < stay.left else None


def _rounds(rows: list[Typed]) -> Iterator[HydraulicRound]:
    """One after the other; rows come by position and time."""
    begun: tuple[int, int | None, int] | None = None
    read: dict[str, list[float]] = {}
    for position, pump, at, quantity, value in rows:
        same = begun is not None and (position, pump) == begun[:2]
        if begun is None or not same or at - begun[2] > ROUND:
            if begun is not None:
                yield _round(begun, read)
            begun, read = (position, pump, at), {}
        read.setdefault(quantity, []).append(value)
    if begun is not None:
        yield _round(begun, read)


def _round(
    begun: tuple[int, int | None, int], read: dict[str, list[float]]
) -> HydraulicRound:
    values = {quantity: sum(v) / len(v) for quantity, v in read.items()}
    is_whole = (
        Quantity.FLOW in values and Quantity.POWER in values and _tells_head(values)
    )
    return HydraulicRound(*begun, values, is_whole)
