"""The budget of the next twelve months: failures, parts to buy and money, by area."""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from analytics.exposure import Window, window_of_months
from analytics.money.budget import (
    PRIOR_EVENTS,
    Budget,
    BudgetLine,
    Demand,
    events_at_a_rate,
)
from analytics.money.mean_cost import MeanCost, mean_cost
from analytics.reports.budget.counted import COMPONENT_OF, ITEM_OF, parts_counted
from analytics.reports.budget.parts import (
    AHEAD_YEARS,
    Ints,
    PartDemand,
    parts_ahead,
)
from analytics.reports.life.in_service import YEAR_DAYS
from analytics.scope import Scope
from plant.access import require
from plant.choices import Component
from plant.models import Area
from records.models.repair import RepairQuerySet
from records.selectors.failure_money import (
    FailureMoney,
    MoneyOnRecord,
    failure_money,
    failures_by_area,
    failures_reported,
)
from records.selectors.part_failures import part_failures

SEEN_MONTHS = 36
OTHER = "other"


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
    """One kind of part in the areas asked for, with what it rests on."""

    demand: PartDemand
    line: BudgetLine
    failing: BudgetLine
    in_service: int
    renewed_seen: int
    counted: int
    """Failures on record that no life tells of."""

    @property
    def is_there(self) -> bool:
        """Whether it stands in these areas, or may fail there."""
        seen = self.in_service + self.renewed_seen + self.counted
        return seen > 0 or self.failing.failures_interval.high > 0


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
    without_life: int
    """Parts in service of a component of which too few have failed."""
    unusable: int
    """Parts in service of unknown age, over all areas of the sites."""
    others_seen: int
    unit_costs: dict[str, MeanCost]
    production_costs: dict[str, MeanCost]
    money: MoneyOnRecord

    @property
    def without_cost(self) -> list[str]:
        """What has too few amounts on record to be priced."""
        names = {part.demand.component for part in self.parts} | {OTHER}
        return sorted(name for name in names if self.unit_costs[name].mean is None)


def budget_report(scope: Scope, service_level: float = 0.90) -> BudgetReport:
    """Work the budget out, for the year that follows the scope's last day.

    All areas of the sites are reckoned, and those asked for shown, so that an area
    has the same figures alone and beside the others.

    Raises
    ------
    PermissionDenied
        When the user's role may not see costs.
    """
    require(scope.user, "records.see_costs")
    wide = replace(scope, area=None)
    seen = _seen(wide)
    standing = _standing(wide)
    areas = _areas(set(standing.values()))
    currencies = {site.currency for site in scope.sites}
    currency = currencies.pop() if len(currencies) == 1 else ""
    failures = failures_reported(
        user=scope.user,
        rules=wide.rules,
        start=seen.start,
        end=seen.end,
        site=wide.site,
    )
    money = failure_money(failures, currency) if currency else MoneyOnRecord()
    answer = _Sums(wide, service_level, _Ground(seen, areas, standing), failures, money)
    asked = [one for one in areas if scope.area is None or one.pk == scope.area.pk]
    place = areas.index(asked[0]) if scope.area and asked else None
    return BudgetReport(
        scope=scope,
        seen=seen,
        service_level=service_level,
        currency=currency,
        areas=tuple(answer.area(area, areas.index(area)) for area in asked),
        total=answer.area(None, place) if asked else None,
        parts=answer.parts(place) if asked else (),
        without_life=_at(answer.found.without_life, place) if asked else 0,
        unusable=answer.found.unusable,
        others_seen=_at(answer.others, place) if asked else 0,
        unit_costs=answer.costs,
        production_costs=answer.production_costs,
        money=money,
    )


@dataclass(frozen=True, slots=True, eq=False)
class _Ground:
    """Days looked back on, areas by place, and the area of each position."""

    seen: Window
    areas: Sequence[Area]
    standing: dict[int, int]

    @property
    def years(self) -> float:
        return (self.seen.day_after - self.seen.first_day) / YEAR_DAYS

    @property
    def places(self) -> dict[int, int]:
        return {area.pk: place for place, area in enumerate(self.areas)}


def _at(numbers: Ints, place: int | None) -> int:
    return int(numbers.sum() if place is None else numbers[place])


def _seen(scope: Scope) -> Window:
    """Three years back, or as far as the records of all sites asked for go."""
    window = window_of_months(scope.window.end, SEEN_MONTHS)
    begins = [site.records_from for site in scope.sites if site.records_from]
    return Window(min(max([window.start, *begins]), window.end), window.end)


def _standing(scope: Scope) -> dict[int, int]:
    """The area of each position in service on the last day."""
    standing = scope.positions().in_service(scope.window.end).order_by()
    return dict(standing.values_list("pk", "area"))


def _areas(standing: Iterable[int]) -> list[Area]:
    """Areas by name."""
    found = Area.objects.filter(pk__in=list(standing))
    return list(found.select_related("site").order_by("site__name", "name"))


def _unit_costs(money: Sequence[FailureMoney], name: str) -> dict[str, MeanCost]:
    by_item: dict[str, list[float]] = {}
    for one in money:
        amounts = by_item.setdefault(COMPONENT_OF.get(one.item, OTHER), [])
        amounts.append(float(getattr(one, name)))
    names = [*ITEM_OF, OTHER]
    return {component: mean_cost(by_item.get(component, [])) for component in names}


class _Sums:
    """The demands, priced twice: repair cost and lost production stay apart."""

    def __init__(
        self,
        scope: Scope,
        service_level: float,
        ground: _Ground,
        failures: RepairQuerySet,
        money: MoneyOnRecord,
    ) -> None:
        places, years = ground.places, ground.years
        found = parts_ahead(scope, places, years)
        of_parts = part_failures(failures, COMPONENT_OF)
        counted = parts_counted(of_parts, found, ground.standing, places, years)
        self.found = replace(found, parts=(*found.parts, *counted))
        by_area = failures_by_area(failures.exclude(item__in=ITEM_OF.values()))
        self.others = np.array([by_area.get(area.pk, 0) for area in ground.areas], int)
        self.costs = _unit_costs(money.failures, "repair_cost")
        self.production_costs = _unit_costs(money.failures, "lost_production")
        demands: list[tuple[str, Demand]] = []
        for part in self.found.parts:
            demands += [(part.component, part.failing), (OTHER, part.renewed)]
        self.components = [part.component for part in self.found.parts for _ in "fr"]
        demands.append((OTHER, self._demand_of_others(ground)))
        self.components.append(OTHER)
        limits = (scope.confidence, service_level)
        self.repair = Budget(_priced(demands, self.costs), *limits)
        self.production = Budget(_priced(demands, self.production_costs), *limits)

    def _demand_of_others(self, ground: _Ground) -> Demand:
        """Failures of other items, leaning on the rate of all areas of the sites."""
        each = (int(self.others.sum()) + PRIOR_EVENTS) / max(len(ground.standing), 1)
        positions = Counter(ground.standing.values())
        expected, drawn = events_at_a_rate(
            self.others.tolist(),
            ground.years,
            AHEAD_YEARS,
            self.found.runs,
            usual=[positions[area.pk] * each for area in ground.areas],
        )
        return Demand("", expected, drawn)

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

    def parts(self, place: int | None) -> tuple[PartBudget, ...]:
        """Kinds of parts of one area, or of all."""
        made = (self._part(number, place) for number in range(len(self.found.parts)))
        return tuple(part for part in made if part.is_there)

    def _part(self, number: int, place: int | None) -> PartBudget:
        demand = self.found.parts[number]
        return PartBudget(
            demand,
            line=self.repair.line([2 * number, 2 * number + 1], place),
            failing=self.repair.line([2 * number], place),
            in_service=_at(demand.standing, place),
            renewed_seen=_at(demand.renewed_seen, place),
            counted=0 if demand.counted is None else _at(demand.counted, place),
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
