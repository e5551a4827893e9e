"""The ten rows of a cost table with the highest repair cost, and their share of all."""

from dataclasses import dataclass
from decimal import Decimal

from analytics.reports.costs.amounts import NO_AMOUNTS, Amounts, CostRow, added
from analytics.reports.costs.breakdown import Breakdown
from analytics.reports.costs.groupings import CostGrouping

TEN = 10


@dataclass(frozen=True, slots=True)
class TopLine:
    """One row; `share` and `running_share` are of all repair cost, 0 to 1."""

    row: CostRow
    amounts: Amounts
    share: float
    running_share: float


@dataclass(frozen=True, slots=True)
class TopTen:
    """The highest first; `rest` is all that the other rows cost together."""

    unit: str
    grouping: CostGrouping
    lines: list[TopLine]
    rest: Amounts
    rest_rows: int
    total: Amounts


def top_ten_of(table: Breakdown) -> list[TopTen]:
    """One a unit of money in which any row has a repair cost above zero."""
    found = [_of_unit(table, unit) for unit in table.currencies]
    return [top for top in found if top.lines]


def _of_unit(table: Breakdown, unit: str) -> TopTen:
    of_unit = [row for row in table.rows if unit in row.amounts]
    ordered = sorted(
        of_unit, key=lambda row: (-row.amounts_in(unit).repair_cost, row.names)
    )
    total = table.total.amounts_in(unit)
    top = [row for row in ordered[:TEN] if row.amounts_in(unit).repair_cost > 0]
    lines, so_far = [], Decimal(0)
    for row in top:
        amounts = row.amounts_in(unit)
        so_far += amounts.repair_cost
        lines.append(
            TopLine(
                row,
                amounts,
                _share(amounts.repair_cost, total),
                _share(so_far, total),
            )
        )
    return TopTen(
        unit=unit,
        grouping=table.grouping,
        lines=lines,
        rest=total.minus(added([NO_AMOUNTS, *(line.amounts for line in lines)])),
        rest_rows=len(ordered) - len(top),
        total=total,
    )


def _share(amount: Decimal, total: Amounts) -> float:
    """Credits can leave a total at or below zero: then there is no share."""
    return float(amount / total.repair_cost) if total.repair_cost > 0 else 0.0
