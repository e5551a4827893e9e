"""What the units of the Bad actors page cost, and their share of it."""

from dataclasses import dataclass
from decimal import Decimal

from analytics.scope import Scope
from records.selectors.cost_totals import cost_line_totals_by
from records.selectors.costs import lines_reported

NOTHING = Decimal("0.00")


@dataclass(frozen=True, slots=True)
class UnitCost:
    """Cost of one unit in one currency, with its share of the cost of all units."""

    currency: str
    repair_cost: Decimal
    lost_production: Decimal
    share: float
    lost_share: float


def costs_by(unit: str, scope: Scope) -> dict[int, list[UnitCost]]:
    """Cost of the window by `unit`, a field of a repair.

    Lines of the repairs reported in the window, whenever they were booked.
    """
    lines = lines_reported(
        user=scope.user,
        site=scope.site,
        area=scope.area,
        start=scope.window.start,
        end=scope.window.end,
    )
    rows = [
        (key, cost.currency, cost.repair_cost, cost.lost_production)
        for (key,), cost in cost_line_totals_by(lines, f"repair__{unit}")
    ]
    totals: dict[str, tuple[Decimal, Decimal]] = {}
    for _key, currency, repair_cost, lost in rows:
        repairs_so_far, lost_so_far = totals.get(currency, (NOTHING, NOTHING))
        totals[currency] = repairs_so_far + repair_cost, lost_so_far + lost
    costs: dict[int, list[UnitCost]] = {}
    for key, currency, repair_cost, lost in rows:
        all_repairs, all_lost = totals[currency]
        cost = UnitCost(
            currency,
            repair_cost,
            lost,
            share=_share(repair_cost, all_repairs),
            lost_share=_share(lost, all_lost),
        )
        costs.setdefault(key, []).append(cost)
    return costs


def _share(amount: Decimal, total: Decimal) -> float:
    return float(amount / total) if total else 0.0
