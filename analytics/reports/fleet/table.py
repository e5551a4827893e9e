"""Columns and cells of the lists behind the Fleet page."""

from collections.abc import Iterable
from typing import Any

from django.db.models import QuerySet

from analytics.reports.fleet.rows import RowKind
from analytics.tables import Cell
from plant.display import date, date_time, number
from plant.listing import Column
from plant.models import FittedLife, Placement, Position
from plant.tables.cells import cell, position_cell, pump_cell
from records.choices import FailureMode
from records.models import Action, Repair
from records.selectors.readings import JudgedReading, positions_in_zone

POSITION = Column("Position", "position", ("position__tag",))
PUMP = Column("Pump", "pump", ("pump__serial_number",))
REPAIR_COLUMNS = [
    Column("Repair", "repair", ("number",)),
    POSITION,
    PUMP,
    Column("Reported", "reported", ("reported_at",)),
    Column("Failure mode", "mode", ("failure_mode",)),
    Column("State", "state", ("state",)),
]
PUMP_COLUMNS = [PUMP, POSITION, Column("Placed", "placed", ("placed_at",))]
LIFE_COLUMNS = [
    PUMP,
    Column("Location", "location", ("location",)),
    Column("Part", "part", ("part_number", "designation")),
    Column("Fitted", "fitted", ("fitted_at",)),
]
SPARE_COLUMNS = [
    Column("Position", "position", ("tag",)),
    Column("Service", "service", ("service",)),
    Column("Criticality", "criticality", ("criticality",)),
    Column("Spare group", "group", ("spare_group__name",)),
    Column("Must run", "needed", ("spare_group__needed_running",), numeric=True),
    Column("Others ready", "ready", ("others_ready",), numeric=True),
    Column("Its pump", "stopped", ("is_stopped",)),
]
ZONE_COLUMNS = [
    Column("Position", "position", ("tag",)),
    Column("Service", "service", ("service",)),
    Column("Zone"),
    Column("Vibration, mm/s", numeric=True),
    Column("Point"),
    Column("Read"),
]
ACTION_COLUMNS = [
    Column("Action", "action", ("title",)),
    Column("About"),
    Column("Owner", "owner", ("owner__username",)),
    Column("Due", "due", ("due_on",)),
]
LIVES = (RowKind.UNKNOWN_BEGINNING,)
PUMPS = (RowKind.NO_SEAL, RowKind.NO_BEARING)


OTHER_COLUMNS = {
    RowKind.NO_SPARE: SPARE_COLUMNS,
    RowKind.HIGH_ZONE: ZONE_COLUMNS,
    RowKind.OVERDUE: ACTION_COLUMNS,
}


def columns(kind: RowKind) -> list[Column]:
    if kind in OTHER_COLUMNS:
        return OTHER_COLUMNS[kind]
    if kind in LIVES:
        return LIFE_COLUMNS
    return PUMP_COLUMNS if kind in PUMPS else REPAIR_COLUMNS


def with_related(rows: QuerySet[Any], kind: RowKind) -> QuerySet[Any]:
    """Fetch what the cells name together with the rows."""
    if kind in OTHER_COLUMNS:
        return rows
    if kind in LIVES:
        return rows.select_related("pump")
    return rows.select_related("position", "pump")


def row_cells(rows: Iterable[Any], kind: RowKind) -> list[list[Cell]]:
    if kind is RowKind.NO_SPARE:
        return [_unspared(position) for position in rows]
    if kind is RowKind.OVERDUE:
        return [_action(action) for action in rows]
    if kind is RowKind.HIGH_ZONE:
        return _zone_rows(list(rows))
    if kind in LIVES:
        return [_life(life) for life in rows]
    if kind in PUMPS:
        return [_placement(placement) for placement in rows]
    return [_repair(repair) for repair in rows]


def _repair(repair: Repair) -> list[Cell]:
    mode = repair.failure_mode
    return [
        cell(repair.number, url=repair.get_absolute_url()),
        position_cell(repair.position_id, repair.position.tag),
        pump_cell(repair.pump_id, repair.pump.serial_number if repair.pump else None),
        cell(date_time(repair.reported_at)),
        cell(f"{mode} {FailureMode(mode).label.lower()}" if mode else ""),
        cell(repair.get_state_display()),
    ]


def _placement(placement: Placement) -> list[Cell]:
    return [
        pump_cell(placement.pump_id, placement.pump.serial_number),
        position_cell(placement.position_id, placement.position.tag),
        cell(date(placement.placed_at)),
    ]


def _life(life: FittedLife) -> list[Cell]:
    return [
        pump_cell(life.pump_id, life.pump.serial_number),
        cell(life.get_location_display()),
        cell(life.part),
        cell(date(life.fitted_at)),
    ]


def _unspared(position: Any) -> list[Cell]:
    group = position.spare_group
    return [
        position_cell(position.pk, position.tag),
        cell(position.service),
        cell(position.get_criticality_display()),
        cell(group.name if group else "no spare"),
        cell(number(group.needed_running) if group else "", numeric=True),
        cell(number(position.others_ready) if group else "", numeric=True),
        cell("stopped" if position.is_stopped else "not stopped"),
    ]


def _zone_rows(positions: list[Position]) -> list[list[Cell]]:
    """With the reading that put each there."""
    worst = positions_in_zone(positions)
    return [_in_zone(place, worst[place.pk]) for place in positions]


def _in_zone(position: Position, judged: JudgedReading) -> list[Cell]:
    reading = judged.reading
    return [
        position_cell(position.pk, position.tag),
        cell(position.service),
        cell(judged.zone),
        cell(number(reading.value, 2), numeric=True),
        cell(reading.get_point_display()),
        cell(date_time(reading.read_at)),
    ]


def _action(action: Action) -> list[Cell]:
    about = [str(position) for position in action.positions.all()]
    if action.pump is not None:
        about.append(str(action.pump))
    if action.population:
        about.append(action.population)
    return [
        cell(action.title, url=action.get_absolute_url()),
        cell(", ".join(about)),
        cell(str(action.owner)),
        cell(date(action.due_on)),
    ]
