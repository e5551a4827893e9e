"""Readings: the latest at a position, series over time, and what deserves a look."""

from collections.abc import Iterable
from dataclasses import dataclass

from django.db.models import F, QuerySet, Window
from django.db.models.functions import RowNumber

from plant.choices import Hazard
from plant.models import Position
from plant.ratings.rating import RatingError
from plant.ratings.vibration import (
    VibrationCategory,
    VibrationLimits,
    VibrationZone,
    vibration_limits,
    vibration_zone,
)
from records.models import Reading, WarningLevel
from records.reading_choices import Quantity, RunningState

# Rolling bearings, on the skin of the housing: common practice.
USUAL_BEARING_ALARM_C = 85.0
# Without the pump's power the stricter table, that of small pumps, holds.
ASSUMED_POWER_KW = 100.0


@dataclass(frozen=True, slots=True)
class Level:
    """Beyond which a reading deserves a look, and who says so."""

    warn_below: float | None
    warn_above: float | None
    source: str

    def is_beyond(self, value: float) -> bool:
        below = self.warn_below is not None and value < self.warn_below
        above = self.warn_above is not None and value > self.warn_above
        return below or above


@dataclass(frozen=True, slots=True)
class JudgedReading:
    """A reading with its vibration zone (blank for other quantities) and its level."""

    reading: Reading
    zone: str
    level: Level | None

    @property
    def is_beyond(self) -> bool:
        return self.level is not None and self.level.is_beyond(self.reading.value)


def readings_standing(positions: Iterable[Position]) -> QuerySet[Reading]:
    """All readings that were not struck, oldest first."""
    return Reading.objects.filter(position__in=positions, struck_reason="").order_by(
        "read_at", "pk"
    )


def readings_latest(positions: Iterable[Position]) -> list[JudgedReading]:
    """The newest reading of each quantity and point, judged; three queries."""
    by_pk = {position.pk: position for position in positions}
    newest = (
        Reading.objects.filter(position__in=by_pk, struck_reason="")
        .annotate(
            place=Window(
                RowNumber(),
                partition_by=["position", "quantity", "point"],
                order_by=[F("read_at").desc(), F("pk").desc()],
            )
        )
        .filter(place=1)
        .order_by("position", "quantity", "point")
    )
    levels = levels_preset(by_pk)
    return [judged(row, by_pk[row.position_id], levels) for row in newest]


def levels_preset(positions: Iterable[int]) -> dict[tuple[int, str], WarningLevel]:
    rows = WarningLevel.objects.filter(position__in=list(positions))
    return {(row.position_id, row.quantity): row for row in rows}


def judged(
    reading: Reading,
    position: Position,
    preset: dict[tuple[int, str], WarningLevel],
) -> JudgedReading:
    zone = ""
    if reading.quantity == Quantity.VIBRATION:
        zone = zone_of(position, reading.value)
    if reading.running_state != RunningState.RUNNING:
        # At rest nothing is to be judged.
        return JudgedReading(reading, "", None)
    level = level_of(position, reading.quantity, preset)
    return JudgedReading(reading, zone, level)


def level_of(
    position: Position, quantity: str, preset: dict[tuple[int, str], WarningLevel]
) -> Level | None:
    """The preset level, else the default of the quantity where there is one."""
    own = preset.get((position.pk, quantity))
    if own is not None:
        return Level(own.warn_below, own.warn_above, "preset for this position")
    if quantity == Quantity.VIBRATION:
        limits = limits_of(position)
        source = f"alarm of {limits.source}, {limits.status.value}"
        return Level(None, limits.alarm_mm_s, source)
    if quantity == Quantity.TEMPERATURE:
        return Level(None, USUAL_BEARING_ALARM_C, "rolling bearings, common practice")
    return None


def category_of(position: Position) -> VibrationCategory:
    """As the register says, else I where the liquid is toxic."""
    if position.vibration_category:
        is_first = position.vibration_category == "1"
    else:
        is_first = Hazard.TOXIC in position.hazards
    return VibrationCategory.HIGH_DEMAND if is_first else VibrationCategory.GENERAL


def limits_of(position: Position) -> VibrationLimits:
    """Zone limits by category and power; small pumps' where no power is known."""
    try:
        return vibration_limits(
            category_of(position), position.power_kw or ASSUMED_POWER_KW
        )
    except RatingError:
        return vibration_limits(category_of(position), ASSUMED_POWER_KW)


def zone_of(position: Position, velocity_mm_s: float) -> str:
    power = position.power_kw if (position.power_kw or 0) > 1 else ASSUMED_POWER_KW
    zone = vibration_zone(velocity_mm_s, category_of(position), power or 1.0).zone
    return str(zone)


def positions_in_zone(
    positions: Iterable[Position],
    zones: tuple[str, ...] = (VibrationZone.C, VibrationZone.D),
) -> dict[int, JudgedReading]:
    """The worst latest vibration of each position that stands in one of the zones."""
    worst: dict[int, JudgedReading] = {}
    for row in readings_latest(positions):
        if row.zone not in zones:
            continue
        known = worst.get(row.reading.position_id)
        if known is None or row.reading.value > known.reading.value:
            worst[row.reading.position_id] = row
    return worst
