"""Tables of what is fitted in a pump and of all its lives."""

from collections.abc import Iterable
from typing import Any

from plant.choices import Beginning
from plant.display import date as day
from plant.display import days
from plant.listing import Column
from plant.selectors.lives import LifeRow
from plant.tables.cells import cell, position_cell

FITTED_COLUMNS = (
    Column("Location"),
    Column("Part or designation"),
    Column("Plan"),
    Column("Fitted"),
    Column("Calendar age", numeric=True),
)
LIFE_COLUMNS = (
    Column("Location"),
    Column("Part or designation"),
    Column("Plan"),
    Column("Position"),
    Column("Fitted"),
    Column("Ended"),
    Column("Calendar age", numeric=True),
    Column("How it ended"),
)


def fitted_cells(rows: Iterable[LifeRow]) -> list[list[dict[str, Any]]]:
    return [
        [cell(row.location_label), _part(row), _plan(row), _fitted(row), _age(row)]
        for row in rows
    ]


def life_cells(rows: Iterable[LifeRow]) -> list[list[dict[str, Any]]]:
    return [
        [
            cell(row.location_label),
            _part(row),
            _plan(row),
            position_cell(row.position_id, row.tag),
            _fitted(row),
            cell(day(row.ended_at)),
            _age(row),
            cell(str(row.ending.label)),
        ]
        for row in rows
    ]


def _part(row: LifeRow) -> dict[str, Any]:
    return cell(row.part, note=row.description)


def _plan(row: LifeRow) -> dict[str, Any]:
    return cell(row.piping_plan)


def _fitted(row: LifeRow) -> dict[str, Any]:
    if row.beginning == Beginning.UNKNOWN:
        return cell("not known", note=f"in the records since {day(row.fitted_at)}")
    if row.beginning == Beginning.AGE_KNOWN:
        return cell(day(row.fitted_at), note="start of its records, age known then")
    return cell(day(row.fitted_at), note=row.condition_fitted.lower())


def _age(row: LifeRow) -> dict[str, Any]:
    return cell(days(row.age_days), numeric=True)
