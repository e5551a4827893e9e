"""What repairs of a component cost on average, to suggest what to type."""

from collections import defaultdict
from dataclasses import dataclass
from decimal import Decimal

from plant.access import may
from plant.choices import Component
from plant.models import User
from records.choices import REPAIR_COST_KINDS, Category, CostStatus, Item
from records.models import Repair
from records.selectors.costs import cost_sums, lines_of
from records.selectors.lives import LifeFilter

ITEMS: dict[str, Item] = {
    Component.SEAL: Item.SEAL,
    Component.RADIAL: Item.RADIAL_BEARING,
    Component.THRUST: Item.THRUST_BEARING,
}
KINDS = {
    Category.CORRECTIVE: "corrective",
    Category.CONDITION: "planned",
    Category.PREVENTIVE: "planned",
}


@dataclass(frozen=True, slots=True)
class MeanCost:
    """Booked repair cost a repair, in one currency, without lost production."""

    kind: str
    currency: str
    repairs: int
    mean: Decimal


def mean_repair_costs(*, user: User, choice: LifeFilter) -> list[MeanCost]:
    """Means of corrective and of planned repairs of this component, one query.

    Nothing for whoever may not see costs.
    """
    if not may(user, "records.see_costs"):
        return []
    repairs = Repair.objects.visible_to(user).filter(
        item__in=[ITEMS[component] for component in choice.components],
        category__in=KINDS,
    )
    for field, wanted in (("site", choice.site), ("position__area", choice.area)):
        if wanted:
            repairs = repairs.filter(**{field: wanted})
    lines = lines_of(repairs).filter(
        status=CostStatus.BOOKED, kind__in=REPAIR_COST_KINDS
    )
    found: dict[tuple[str, str], list[Decimal]] = defaultdict(list)
    for row in cost_sums(lines, "repair__category", "repair_id"):
        kind = KINDS[row["repair__category"]]
        found[kind, row["currency"]].append(row["repair_booked"])
    return [
        MeanCost(kind, currency, len(costs), sum(costs, Decimal(0)) / len(costs))
        for (kind, currency), costs in sorted(found.items())
        if any(costs)
    ]
