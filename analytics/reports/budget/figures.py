"""How amounts, counts and names of the budget are written; page and tables share it."""

from decimal import Decimal
from typing import SupportsFloat

from analytics.life.results import Interval
from analytics.money.budget import BudgetLine
from analytics.money.mean_cost import MeanCost
from analytics.reports.budget.report import OTHER, AreaBudget, BudgetReport
from plant.choices import Component
from plant.display import NO_VALUE, fixed, interval, money

ALL = "All areas"


def area_name(line: AreaBudget, report: BudgetReport) -> str:
    if line.area is None:
        return ALL
    several = len(report.scope.sites) > 1
    return f"{line.area.name}, {line.area.site}" if several else line.area.name


def money_lines(
    report: BudgetReport, line: AreaBudget
) -> list[tuple[str, BudgetLine, dict[str, MeanCost]]]:
    if not report.currency:
        return []
    return [
        ("Repair cost", line.all, report.unit_costs),
        ("Lost production", line.production, report.production_costs),
    ]


def is_priced(costs: dict[str, MeanCost]) -> bool:
    return any(cost.mean is not None for cost in costs.values())


def component_words(name: str) -> str:
    return "Other items" if name == OTHER else str(Component(name).label)


def whole(limits: Interval) -> str:
    return interval(limits.low, limits.high, lambda value: fixed(value, 0))


def amount(value: SupportsFloat | None, currency: str = "") -> str:
    """Whole units: an expected amount is never exact to the cent."""
    if value is None:
        return NO_VALUE
    return money(Decimal(round(float(value))), currency, places=0)


def amounts(limits: Interval) -> str:
    return interval(limits.low, limits.high, amount)
