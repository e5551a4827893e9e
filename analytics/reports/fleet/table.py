"""Columns and cells of the lists behind the Fleet page."""

from collections.abc import Iterable
from typing import Any

from django.db.models import QuerySet

from analytics.reports.fleet.rows import RowKind
from analytics.tables import Cell
from plant.display import date, date_time
from plant.listing import Column
from plant.models import FittedLife, Placement
from plant.tables.cells import cell, position_cell, pump_cell
from records.choices import FailureMode
from records.models import Repair

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
LIVES = (RowKind.UNKNOWN_BEGINNING,)
PUMPS = (RowKind.NO_SEAL, RowKind.NO_BEARING)


def columns(kind: RowKind) -> list[Column]:
    if kind in LIVES:
        return LIFE_COLUMNS
    return PUMP_COLUMNS if kind in PUMPS else REPAIR_COLUMNS


def with_related(rows: QuerySet[Any], kind: RowKind) -> QuerySet[Any]:
    """Fetch what the cells name together with the rows."""
    if kind in LIVES:
        return rows.select_related("pump")
    return rows.select_related("position", "pump")


def row_cells(rows: Iterable[Any], kind: RowKind) -> list[list[Cell]]:
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
