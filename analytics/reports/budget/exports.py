"""The budget as rows of a file."""

from typing import Any

from analytics.money.budget import BudgetLine
from analytics.money.mean_cost import MeanCost
from analytics.reports.budget.figures import area_name, is_priced
from analytics.reports.budget.report import (
    AreaBudget,
    BudgetReport,
    PartBudget,
)
from plant.choices import BEARINGS

EXPORT_HEADER = [
    *("kind", "name", "failures_expected", "failures_low", "failures_high"),
    *("seals_to_buy", "bearings_to_buy", "parts_expected", "parts_to_buy"),
    *("repair_cost_expected", "repair_cost_low", "repair_cost_high"),
    *("lost_production_expected", "lost_production_low", "lost_production_high"),
    *("currency", "confidence", "service_level"),
]


def export_rows(report: BudgetReport) -> list[list[Any]]:
    rows = [
        _export_row("area", area_name(line, report), line, report)
        for line in [*report.areas, *([report.total] if report.total else [])]
    ]
    return rows + [_export_part(part, report) for part in report.parts]


def _export_row(
    kind: str, name: str, line: AreaBudget, report: BudgetReport
) -> list[Any]:
    repair = _export_money(line.all, report.unit_costs, report)
    production = _export_money(line.production, report.production_costs, report)
    failures = line.all.failures_interval
    return [
        *(kind, name, line.all.failures, failures.low, failures.high),
        *(line.seals.to_buy, line.bearings.to_buy, line.all.parts, line.all.to_buy),
        *(*repair, *production, report.currency),
        *(report.scope.confidence, report.service_level),
    ]


def _export_part(part: PartBudget, report: BudgetReport) -> list[Any]:
    failures = part.failing.failures_interval
    is_bearing = part.demand.component in BEARINGS
    to_buy = ["", part.line.to_buy] if is_bearing else [part.line.to_buy, ""]
    return [
        *("part", part.demand.part, part.failing.failures),
        *(failures.low, failures.high, *to_buy, part.line.parts, part.line.to_buy),
        *("", "", "", "", "", "", report.currency),
        *(report.scope.confidence, report.service_level),
    ]


def _export_money(
    line: BudgetLine, costs: dict[str, MeanCost], report: BudgetReport
) -> list[Any]:
    if not report.currency or not is_priced(costs):
        return ["", "", ""]
    limits = line.cost_interval
    return [round(line.cost, 2), round(limits.low, 2), round(limits.high, 2)]
