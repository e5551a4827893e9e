"""Tables and file of the rounds behind the page of one position."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from analytics.reports.energy.judging import UsedRound
from analytics.reports.energy.position import PositionEnergy
from analytics.tables import Cell
from plant.display import NO_VALUE, date, date_time, fixed, percent
from records.selectors.hydraulic_readings import HydraulicRound

# Beside a drawing stand the newest; the file holds all.
MOST_ROWS = 100


@dataclass(frozen=True, slots=True)
class Table:
    columns: list[Cell]
    rows: list[list[Cell]]


def _head_cells(*labels: str) -> list[Cell]:
    first, *rest = labels
    return [{"label": first}, *({"label": one, "numeric": True} for one in rest)]


def _numeric(text: str, **more: Any) -> Cell:
    return {"text": text, "numeric": True, **more}


def _newest(rows: Iterable[list[Cell]]) -> list[list[Cell]]:
    return list(rows)[::-1][:MOST_ROWS]


def efficiencies(about: PositionEnergy) -> Table:
    columns = _head_cells("Read on", "Efficiency", "As new at that flow", "Used")
    used = _used(about)
    return Table(
        columns,
        _newest(
            [
                {"text": date(one.round.read_at)},
                _numeric(percent(one.efficiency, 1)),
                _numeric(NO_VALUE if one.as_new is None else percent(one.as_new, 1)),
                _numeric("yes" if one.round.microseconds in used else "no"),
            ]
            for one in about.told
        ),
    )


def heads(about: PositionEnergy) -> Table:
    columns = _head_cells("Read on", "Flow, m³/h", "Head, m", "Head as new, m")
    return Table(
        columns,
        _newest(
            [
                {"text": date(one.read_at)},
                _numeric(fixed(one.flow_m3_h)),
                _numeric(fixed(one.head_m)),
                _numeric(fixed(one.as_new_m)),
            ]
            for one in about.heads
        ),
    )


def used(about: PositionEnergy) -> Table:
    columns = _head_cells(
        *("Read at", "Flow, m³/h", "Head, m", "Power at the motor, kW"),
        *("Efficiency", "As new"),
    )
    return Table(columns, _newest(map(_used_cells, about.line.efficiency.used)))


def _used_cells(one: UsedRound) -> list[Cell]:
    return [
        {"text": date_time(one.round.read_at)},
        _numeric(fixed(one.reading.flow_m3_h)),
        _numeric(
            fixed(one.reading.head_m),
            note="" if one.round.head_is_read else "from pressures",
        ),
        _numeric(fixed(one.round.motor_power_kw, 2)),
        _numeric(percent(one.efficiency, 1)),
        _numeric(NO_VALUE if one.as_new is None else percent(one.as_new, 1)),
    ]


def left_out(about: PositionEnergy) -> Table:
    columns = [
        *_head_cells("Read at", "Flow, m³/h", "Head, m", "Power at the motor, kW"),
        {"label": "Left out because"},
    ]
    density = about.line.position.density_kg_m3
    return Table(
        columns,
        _newest(
            [
                {"text": date_time(one.round.read_at)},
                *map(_numeric, _read(one.round, density)),
                {"text": one.reason},
            ]
            for one in about.left_out
        ),
    )


def _read(one: HydraulicRound, density: float | None) -> list[str]:
    return [
        fixed(one.flow_m3_h),
        fixed(one.head_m(density)),
        fixed(one.motor_power_kw, 2),
    ]


def _used(about: PositionEnergy) -> set[int]:
    return {one.round.microseconds for one in about.line.efficiency.used}


EXPORT_HEADER = [
    "read_at",
    "pump",
    "flow_m3_h",
    "head_m",
    "head_from",
    "motor_power_kw",
    "shaft_power_kw",
    "efficiency",
    "efficiency_as_new",
    "used",
    "left_out_because",
]


def export_rows(about: PositionEnergy) -> Iterable[list[Any]]:
    """Every round of the pump that stands there now, unrounded, oldest first."""
    told = {one.round.microseconds: one for one in about.told}
    reasons = {one.round.microseconds: one.reason for one in about.left_out}
    rounds = {one.microseconds: one for one in about.series.whole}
    rounds |= {one.round.microseconds: one.round for one in about.left_out}
    taken = _used(about)
    density = about.line.position.density_kg_m3
    serial = about.line.serial
    for key in sorted(rounds):
        one, known = rounds[key], told.get(key)
        yield [
            one.read_at.isoformat(),
            serial,
            one.flow_m3_h,
            one.head_m(density),
            "head" if one.head_is_read else "pressures",
            one.motor_power_kw,
            known.reading.shaft_power_kw if known else None,
            known.efficiency if known else None,
            known.as_new if known else None,
            "yes" if key in taken else "no",
            reasons.get(key, ""),
        ]
