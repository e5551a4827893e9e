"""What a story cost, year by year, and what its repairs usually cost."""

from collections import defaultdict
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

from analytics.reports.story.subject import Subject
from plant.access import may
from plant.choices import Component
from records.choices import REPAIR_COST_KINDS, Category, CostKind, CostStatus, Item
from records.models import CostLine, Repair
from records.selectors.cost_totals import cost_line_totals_by
from records.selectors.costs import cost_sums, lines_of

ITEM_OF = {
    Component.SEAL: Item.SEAL,
    Component.RADIAL: Item.RADIAL_BEARING,
    Component.THRUST: Item.THRUST_BEARING,
}
COMPONENT_OF = {str(item): str(component) for component, item in ITEM_OF.items()}
IS_FAILURE = {
    Category.CORRECTIVE: True,
    Category.CONDITION: False,
    Category.PREVENTIVE: False,
}


@dataclass(frozen=True, slots=True)
class YearCost:
    """One year in one currency; estimates and booked lines that stand, together."""

    year: int
    currency: str
    repair: Decimal
    production: Decimal
    environment: Decimal


def cost_by_year(subject: Subject) -> tuple[YearCost, ...] | None:
    """By the year of the report; None for whoever may not see costs; one query."""
    if not may(subject.user, "records.see_costs"):
        return None
    repairs = Repair.objects.visible_to(subject.user).filter(
        subject.of_rows(), reported_at__lte=subject.as_of
    )
    year = "repair__reported_at__year"
    found = [
        YearCost(
            row[year],
            row["currency"],
            *(
                row[f"{part}_estimate"] + row[f"{part}_booked"]
                for part in ("repair", "production", "environment")
            ),
        )
        for row in cost_sums(lines_of(repairs), year)
    ]
    return tuple(_with_bare_years(found))


def _with_bare_years(found: Sequence[YearCost]) -> Iterator[YearCost]:
    """Between the first and the last year, one without a cost line cost nothing."""
    known = {(cost.year, cost.currency): cost for cost in found}
    years = sorted({cost.year for cost in found})
    currencies = sorted({cost.currency for cost in found})
    for year in range(years[0], years[-1] + 1) if years else ():
        own = [currency for currency in currencies if (year, currency) in known]
        for currency in own or currencies:
            bare = YearCost(year, currency, Decimal(0), Decimal(0), Decimal(0))
            yield known.get((year, currency), bare)


@dataclass(frozen=True, slots=True)
class MeanCost:
    """Means of some repairs of one kind, in one currency; booked lines only."""

    repairs: int
    repair: float
    production: float


@dataclass(frozen=True, slots=True)
class UsualCost:
    """What a planned change and a failure of one component cost on average."""

    currency: str
    planned: MeanCost
    failure: MeanCost


def usual_costs(subject: Subject, neighbours: Collection[int]) -> dict[str, UsualCost]:
    """By component, where both kinds are on record in one currency; one query.

    Nothing for whoever may not see costs.
    """
    if not may(subject.user, "records.see_costs"):
        return {}
    repairs = Repair.objects.visible_to(subject.user).filter(
        position__in=neighbours, item__in=COMPONENT_OF, category__in=IS_FAILURE
    )
    kinds = (*REPAIR_COST_KINDS, CostKind.LOST_PRODUCTION)
    lines = CostLine.objects.filter(
        repair__in=repairs.order_by().values("pk"),
        status=CostStatus.BOOKED,
        kind__in=kinds,
    )
    found: dict[tuple[str, str, bool], list[tuple[float, float]]] = defaultdict(list)
    by = "repair__item", "repair__category", "repair_id"
    for (item, category, _repair), cost in cost_line_totals_by(lines, *by):
        key = COMPONENT_OF[item], cost.currency, IS_FAILURE[category]
        if cost.repair_cost:
            amounts = float(cost.repair_cost), float(cost.lost_production)
            found[key].append(amounts)
    return {
        component: UsualCost(
            currency,
            _mean(found[component, currency, False]),
            _mean(found[component, currency, True]),
        )
        for component, currency, is_failure in list(found)
        if is_failure and (component, currency, False) in found
    }


def _mean(amounts: list[tuple[float, float]]) -> MeanCost:
    size = len(amounts)
    repair, production = (sum(column) / size for column in zip(*amounts, strict=True))
    return MeanCost(size, repair, production)
