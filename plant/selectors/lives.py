"""Fitted lives with their defaults applied and their endings derived."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db import models

from plant.choices import Beginning, Ending, Location
from plant.endings import ending_of
from plant.models import FittedLife, Placement

DAY = timedelta(days=1)
PLACES = Location.values


@dataclass(frozen=True, slots=True)
class LifeRow:
    """One life as it stood at a moment.

    `started_at` and `ended_at` hold what stands for them where they were not
    recorded; the two `_assumed` facts say so. `age_days` is calendar age without the
    time that the pump lay in the store, None where the beginning is unknown.
    """

    life_id: int
    pump_id: int
    serial_number: str
    position_id: int | None
    tag: str
    component: str
    location: str
    location_label: str
    part: str
    description: str
    piping_plan: str
    condition_fitted: str
    beginning: str
    fitted_at: datetime
    started_at: datetime
    started_assumed: bool
    ended_at: datetime | None
    ended_assumed: bool
    removed_at: datetime | None
    ending: Ending
    age_days: float | None

    @property
    def is_still_in(self) -> bool:
        return self.ending == Ending.STILL_IN


def by_place(rows: Iterable[LifeRow]) -> list[LifeRow]:
    """Rows in the order of the places in a pump: seals, then bearings."""
    return sorted(rows, key=lambda row: PLACES.index(row.location))


def life_rows(lives: models.QuerySet[FittedLife], as_of: datetime) -> list[LifeRow]:
    """Lives of `lives` fitted by `as_of`, in its order; later endings are cut off.

    A life that ended by `as_of` counts as ended, also when it was taken out later.
    """
    rows = list(lives.filter(fitted_at__lte=as_of).select_related("pump", "position"))
    moves: dict[int, list[Placement]] = defaultdict(list)
    for move in Placement.objects.filter(pump__in={row.pump_id for row in rows}):
        moves[move.pump_id].append(move)
    return [_life_row(life, as_of, moves[life.pump_id]) for life in rows]


def _life_row(life: FittedLife, as_of: datetime, moves: list[Placement]) -> LifeRow:
    started_at = life.started_at or life.fitted_at
    ended_at = life.ended_at or life.removed_at
    if ended_at is not None and ended_at > as_of:
        ended_at = None
    ending = ending_of(
        removed_at=life.removed_at if ended_at else None,
        started_at=started_at,
        ended_at=ended_at,
        defect_detected=life.defect_detected,
        condition_found=life.condition_found,
        why_removed=life.why_removed,
    )
    return LifeRow(
        life_id=life.pk,
        pump_id=life.pump_id,
        serial_number=life.pump.serial_number,
        position_id=life.position_id,
        tag=life.position.tag if life.position else "",
        component=life.component,
        location=life.location,
        location_label=life.get_location_display(),
        part=life.part,
        description=_description(life),
        piping_plan=life.piping_plan,
        condition_fitted=life.get_condition_fitted_display(),
        beginning=life.beginning,
        fitted_at=life.fitted_at,
        started_at=started_at,
        started_assumed=life.started_at is None,
        ended_at=ended_at,
        ended_assumed=ended_at is not None and life.ended_at is None,
        removed_at=life.removed_at if ended_at else None,
        ending=ending,
        age_days=_age_days(life, started_at, ended_at or as_of, moves),
    )


def _age_days(
    life: FittedLife, started_at: datetime, until: datetime, moves: list[Placement]
) -> float | None:
    if life.beginning == Beginning.UNKNOWN:
        return None
    since = _days_in_service(started_at, until, moves)
    if life.beginning == Beginning.KNOWN:
        return since
    if life.age_at_entry_days is None:
        return None
    return life.age_at_entry_days + since


def _days_in_service(start: datetime, until: datetime, moves: list[Placement]) -> float:
    """Days at a position; before its first placement a pump counts as placed."""
    first = min((move.placed_at for move in moves), default=until)
    spans = [(start, min(first, until))]
    for move in moves:
        left = min(move.removed_at or until, until)
        spans.append((max(move.placed_at, start), left))
    return sum(max((end - begin) / DAY, 0.0) for begin, end in spans)


def _description(life: FittedLife) -> str:
    """What distinguishes the component beside its part number or designation."""
    if life.is_seal:
        arrangement = (
            f"arrangement {life.get_arrangement_display()}" if life.arrangement else ""
        )
        kind = life.get_kind_display().lower()
        words = [arrangement, kind, life.faces, life.secondary_seal]
    else:
        words = [life.bearing_arrangement, life.lubrication]
    return ", ".join(word for word in words if word)
