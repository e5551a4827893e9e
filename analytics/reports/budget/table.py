"""Areas, parts and unit costs of the budget as tables."""

from urllib.parse import urlencode

from django.urls import reverse

from analytics.money.mean_cost import MeanCost
from analytics.reports.budget.figures import (
    amount,
    amounts,
    area_name,
    component_words,
    is_priced,
    money_lines,
    whole,
)
from analytics.reports.budget.parts import PartDemand
from analytics.reports.budget.report import (
    AreaBudget,
    BudgetReport,
    PartBudget,
)
from analytics.tables import Cell
from plant.display import NO_VALUE, count, date, fixed, interval, number, percent
from plant.listing import Column

PART_COLUMNS = [
    Column("Part"),
    Column("In service", numeric=True),
    Column("Failing", numeric=True),
    Column("Renewed with other work", numeric=True),
    Column("To buy", numeric=True),
    Column("Rests on"),
]


def area_columns(report: BudgetReport) -> list[Column]:
    limits = percent(report.scope.confidence)
    columns = [
        Column("Area"),
        Column(f"Failures, {limits}", numeric=True),
        Column("Seals to buy", numeric=True),
        Column("Bearings to buy", numeric=True),
    ]
    if report.currency:
        columns += [
            Column(f"Repair cost, {report.currency}", numeric=True),
            Column(f"Lost production, {report.currency}", numeric=True),
        ]
    return columns


def area_row(line: AreaBudget, report: BudgetReport) -> list[Cell]:
    cells: list[Cell] = [
        {"text": area_name(line, report), "url": _area_address(line)},
        _number(fixed(line.all.failures), whole(line.all.failures_interval)),
        _number(number(line.seals.to_buy), f"{fixed(line.seals.parts)} expected"),
        _number(number(line.bearings.to_buy), f"{fixed(line.bearings.parts)} expected"),
    ]
    if report.currency:
        for _label, money_line, costs in money_lines(report, line):
            cells.append(
                _number(amount(money_line.cost), amounts(money_line.cost_interval))
                if is_priced(costs)
                else _number(NO_VALUE)
            )
    return cells


def _area_address(line: AreaBudget) -> str:
    if line.area is None:
        return ""
    asked = urlencode({"site": line.area.site_id, "area": line.area.pk})
    return f"{reverse('analytics:fleet_likely')}?{asked}"


def part_row(part: PartBudget, report: BudgetReport) -> list[Cell]:
    demand = part.demand
    aged = demand.counted is None
    renewed = part.line.parts - part.failing.parts
    return [
        {
            "text": demand.part,
            "note": component_words(demand.component),
            "url": _life_address(demand, report) if aged else "",
        },
        _number(number(part.in_service) if aged else NO_VALUE),
        _number(fixed(part.failing.failures), whole(part.failing.failures_interval)),
        _number(fixed(renewed), f"{number(part.renewed_seen)} seen")
        if aged
        else _number(NO_VALUE),
        _number(number(part.line.to_buy)),
        {"text": _rests_on(part, report)},
    ]


def _rests_on(part: PartBudget, report: BudgetReport) -> str:
    demand = part.demand
    if demand.counted is not None:
        return (
            f"{count(part.counted, 'failure')} counted from "
            f"{date(report.seen.start)} to {date(report.seen.end)}, at that rate"
        )
    whose = "all parts of the component: " if demand.is_pooled else ""
    return f"{whose}{number(demand.failed)} failed of {number(demand.lives)} lives"


def _life_address(demand: PartDemand, report: BudgetReport) -> str:
    part, _, plan = demand.part.partition(", plan ")
    asked = {"component": demand.component, "part": part, "plan": plan}
    if report.scope.site is not None:
        asked["site"] = str(report.scope.site.pk)
    given = {name: value for name, value in asked.items() if value}
    return f"{reverse('analytics:life_forecast')}?{urlencode(given)}"


def cost_columns(report: BudgetReport) -> list[Column]:
    return [
        Column("Failure of"),
        Column(f"Repair cost each, {report.currency}", numeric=True),
        Column(f"Lost production each, {report.currency}", numeric=True),
        Column("Failures with an amount", numeric=True),
    ]


def cost_rows(report: BudgetReport) -> list[list[Cell]]:
    if not report.currency:
        return []
    return [
        [
            {"text": component_words(name)},
            _unit(cost),
            _unit(report.production_costs[name]),
            _number(number(cost.amounts)),
        ]
        for name, cost in report.unit_costs.items()
    ]


def _unit(cost: MeanCost) -> Cell:
    if cost.mean is None or cost.quantity is None:
        return _number(NO_VALUE)
    low, high = cost.quantity.quantile([0.05, 0.95]).tolist()
    return _number(amount(cost.mean), f"90\u00a0%: {interval(low, high, amount)}")


def _number(text: str, note: str = "") -> Cell:
    return {"text": text, "numeric": True, "note": note}
