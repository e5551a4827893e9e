"""The budget of the next twelve months: failures, parts to buy and money, by area."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from django.db.models import Count

from analytics.exposure import Window, window_of_months
from analytics.money.budget import (
    PRIOR_EVENTS,
    Budget,
    BudgetLine,
    Demand,
    events_at_a_rate,
)
from analytics.money.mean_cost import MeanCost, mean_cost
from analytics.reports.budget.parts import PartDemand, PartsAhead, parts_ahead
from analytics.reports.life.in_service import YEAR_DAYS
from analytics.scope import Scope
from plant.access import require
from plant.choices import Component
from plant.models import Area
from records.choices import Item
from records.selectors.failure_money import (
    FailureMoney,
    failure_money,
    failures_by_area,
    failures_reported,
)

SEEN_MONTHS = 36
AHEAD_DAYS = YEAR_DAYS
OTHER = "other"
ITEM_OF: dict[str, Item] = {
    Component.SEAL: Item.SEAL,
    Component.RADIAL: Item.RADIAL_BEARING,
    Component.THRUST: Item.THRUST_BEARING,
}


@dataclass(frozen=True, slots=True)
class AreaBudget:
    """One area, or all together; money is missing where no unit cost is known."""

    area: Area | None
    all: BudgetLine
    seals: BudgetLine
    bearings: BudgetLine
    production: BudgetLine


@dataclass(frozen=True, slots=True)
class PartBudget:
    """One kind of part with what it rests on."""

    demand: PartDemand
    line: BudgetLine
    failing: BudgetLine


@dataclass(frozen=True, slots=True, eq=False)
class BudgetReport:
    scope: Scope
    seen: Window
    service_level: float
    currency: str
    """Empty where the sites asked for have several."""
    areas: tuple[AreaBudget, ...]
    total: AreaBudget | None
    parts: tuple[PartBudget, ...]
    found: PartsAhead
    others_seen: int
    unit_costs: dict[str, MeanCost]
    production_costs: dict[str, MeanCost]

    @property
    def without_cost(self) -> list[str]:
        """What has too few amounts on record to be priced."""
        names = {part.demand.component for part in self.parts} | {OTHER}
        return sorted(name for name in names if self.unit_costs[name].mean is None)


def budget_report(scope: Scope, service_level: float = 0.90) -> BudgetReport:
    """Work the budget out, for the year that follows the scope's last day.

    Raises
    ------
    PermissionDenied
        When the user's role may not see costs.
    """
    require(scope.user, "records.see_costs")
    seen = _seen(scope)
    standing = _standing(scope)
    areas = _areas(standing)
    places = {area.pk: place for place, area in enumerate(areas)}
    currencies = {site.currency for site in scope.sites}
    currency = currencies.pop() if len(currencies) == 1 else ""
    years = (seen.day_after - seen.first_day) / YEAR_DAYS
    found = parts_ahead(scope, places, years, AHEAD_DAYS)
    failures = failures_reported(
        user=scope.user,
        rules=scope.rules,
        start=seen.start,
        end=seen.end,
        site=scope.site,
    )
    money = failure_money(failures, currency) if currency else []
    others = failures_by_area(failures.exclude(item__in=ITEM_OF.values()))
    seen_others = [(others.get(area.pk, 0), standing.get(area.pk, 0)) for area in areas]
    costs = _unit_costs(money, "repair_cost")
    production = _unit_costs(money, "lost_production")
    answer = _Sums(scope, service_level, found, seen_others, years, costs, production)
    return BudgetReport(
        scope=scope,
        seen=seen,
        service_level=service_level,
        currency=currency,
        areas=tuple(answer.area(area, place) for place, area in enumerate(areas)),
        total=answer.area(None, None) if areas else None,
        parts=answer.parts() if areas else (),
        found=found,
        others_seen=sum(events for events, _positions in seen_others),
        unit_costs=costs,
        production_costs=production,
    )


def _seen(scope: Scope) -> Window:
    """Three years back, or as far as the records of all sites asked for go."""
    window = window_of_months(scope.window.end, SEEN_MONTHS)
    begins = [site.records_from for site in scope.sites if site.records_from]
    return Window(min(max([window.start, *begins]), window.end), window.end)


def _standing(scope: Scope) -> dict[int, int]:
    """Positions in service on the last day, by area."""
    standing = scope.positions().in_service(scope.window.end).order_by()
    return dict(standing.values_list("area").annotate(Count("pk")))


def _areas(standing: Iterable[int]) -> list[Area]:
    """Areas by name."""
    found = Area.objects.filter(pk__in=list(standing))
    return list(found.select_related("site").order_by("site__name", "name"))


def _unit_costs(money: Sequence[FailureMoney], name: str) -> dict[str, MeanCost]:
    by_item: dict[str, list[float]] = {}
    components = {str(item): component for component, item in ITEM_OF.items()}
    for one in money:
        amounts = by_item.setdefault(components.get(one.item, OTHER), [])
        amounts.append(float(getattr(one, name)))
    names = [*ITEM_OF, OTHER]
    return {component: mean_cost(by_item.get(component, [])) for component in names}


class _Sums:
    """The demands, priced twice: repair cost and lost production stay apart."""

    def __init__(
        self,
        scope: Scope,
        service_level: float,
        found: PartsAhead,
        others: Sequence[tuple[int, int]],
        years: float,
        costs: dict[str, MeanCost],
        production: dict[str, MeanCost],
    ) -> None:
        self.found = found
        demands: list[tuple[str, Demand]] = []
        self.components: list[str] = []
        for part in found.parts:
            demands += [(part.component, part.failing), (OTHER, part.renewed)]
            self.components += [part.component, part.component]
        counts = [events for events, _positions in others]
        each = (sum(counts) + PRIOR_EVENTS) / max(sum(n for _events, n in others), 1)
        expected, drawn = events_at_a_rate(
            counts,
            years,
            AHEAD_DAYS / YEAR_DAYS,
            found.runs,
            usual=[positions * each for _events, positions in others],
        )
        demands.append((OTHER, Demand("", expected, drawn)))
        self.components.append(OTHER)
        limits = (scope.confidence, service_level)
        self.repair = Budget(_priced(demands, costs), *limits)
        self.production = Budget(_priced(demands, production), *limits)

    def area(self, area: Area | None, place: int | None) -> AreaBudget:
        return AreaBudget(
            area=area,
            all=self.repair.line(group=place),
            seals=self.repair.line(self._of(Component.SEAL), place),
            bearings=self.repair.line(
                self._of(Component.RADIAL, Component.THRUST), place
            ),
            production=self.production.line(group=place),
        )

    def parts(self) -> tuple[PartBudget, ...]:
        return tuple(
            PartBudget(
                part,
                self.repair.line([2 * place, 2 * place + 1]),
                self.repair.line([2 * place]),
            )
            for place, part in enumerate(self.found.parts)
        )

    def _of(self, *components: str) -> list[int]:
        return [
            place for place, name in enumerate(self.components) if name in components
        ]


def _priced(
    demands: Sequence[tuple[str, Demand]], costs: dict[str, MeanCost]
) -> list[Demand]:
    """Failures with the mean of their item; what is renewed with them costs no more."""
    priced = []
    for name, demand in demands:
        cost = costs[name]
        if demand.fails and cost.quantity is not None:
            demand = replace(demand, unit_cost=cost.quantity, spread=cost.spread)
        priced.append(demand)
    return priced
