"""The Bad actors page: units with their evidence, their cost, and the reasons."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, fields
from datetime import date
from functools import cached_property
from heapq import nlargest
from operator import attrgetter
from typing import Any

import pandas as pd
from django.db import models

from analytics.exposure import MONTH_DAYS
from analytics.in_service import Service
from analytics.reports.bad_actors.ages import own_trends
from analytics.reports.bad_actors.changes import Change
from analytics.reports.bad_actors.costs import UnitCost, costs_by
from analytics.reports.bad_actors.facts import RepairFacts, repair_facts
from analytics.reports.bad_actors.judgement import judged
from analytics.reports.bad_actors.month_before import with_changes
from analytics.reports.bad_actors.own_trend import OwnTrend
from analytics.reports.bad_actors.pareto import CostRank, cost_ranks
from analytics.reports.bad_actors.reasons import counts_in_words, flag_reason
from analytics.reports.bad_actors.recorded import events_in_own_time
from analytics.reports.bad_actors.rule import LEVEL
from analytics.reports.bad_actors.units import (
    bad_actor_service,
    machine_units,
    position_units,
)
from analytics.scope import Scope
from plant.access import may
from plant.display import NO_BREAK_SPACE, count, fixed, money, number, percent

YEAR_DAYS = 12 * MONTH_DAYS
COSTLIEST = 3


class UnitKind(models.TextChoices):
    """Whether a tag is judged or the machine, which can move between tags."""

    POSITION = "position", "Position"
    MACHINE = "pump", "Pump (serial number)"

    @property
    def of_repair(self) -> str:
        """The field of a repair that names the unit."""
        return "position" if self is UnitKind.POSITION else "pump"


@dataclass(frozen=True, slots=True)
class Unit:
    """One position or pump. Rates are events a year."""

    key: int
    label: str
    place: str
    repairs: int
    failures: int
    events: int
    months: float
    raw_rate: float
    posterior: float
    low: float
    high: float
    expected: float
    worse: float
    p_value: float
    adjusted: float
    is_flagged: bool
    is_near_miss: bool
    judged: int
    peers: str
    others: int
    last_on: date | None
    days_since: int | None
    costs: tuple[UnitCost, ...] = ()
    facts: tuple[RepairFacts, ...] = ()
    """What was found at its repairs; of flagged units only."""
    trend: OwnTrend | None = None
    """Of flagged units only."""
    change: Change | None = None
    """Against the list a month before; None for a unit on neither."""

    @property
    def cost_share(self) -> float:
        return max((cost.share for cost in self.costs), default=0.0)

    @property
    def reason(self) -> str:
        """Why it is flagged, or why not although its counts are high."""
        if self.is_near_miss:
            return f"{self.counts_in_words}; {self._not_flagged}."
        if not self.is_flagged:
            return ""
        return flag_reason(
            repairs=self.repairs,
            events=self.events,
            months=self.months,
            expected=self.expected,
            worse=self.worse,
            p_value=self.p_value,
            facts=self.facts,
        )

    @property
    def counts_in_words(self) -> str:
        """What was counted, beside what its peers have."""
        return (
            f"{counts_in_words(self.repairs, self.events)} in {fixed(self.months)} "
            f"months where pumps like it have {fixed(self.expected)}"
        )

    @property
    def _not_flagged(self) -> str:
        """What explains the count: chance among so many units, or their own spread."""
        if self.adjusted <= LEVEL:
            return (
                "not flagged: beyond chance, yet pumps like it differ so much that its "
                f"odds of being worse than twice its peers are {percent(self.worse)}"
            )
        by_chance = number(self.p_value * self.judged, 2)
        such, are = ("count", "is") if by_chance == "1.0" else ("counts", "are")
        return (
            f"not flagged: among {count(self.judged, 'unit')} about {by_chance} such "
            f"{such} {are} expected by chance"
        )

    @property
    def cost_sentence(self) -> str:
        """What it cost, each currency and each kind of cost by itself."""
        parts = [
            f"{money(cost.repair_cost, cost.currency)} of repair cost, "
            f"{percent(cost.share)} of the total, and "
            f"{money(cost.lost_production, cost.currency)} of lost production, "
            f"{percent(cost.lost_share)} of the total"
            for cost in self.costs
        ]
        return "; ".join(parts).replace(NO_BREAK_SPACE, " ") + "."


@dataclass(frozen=True)
class BadActorReport:
    scope: Scope
    kind: UnitKind
    units: list[Unit]
    shows_costs: bool
    service: Service = field(compare=False, repr=False)
    table: pd.DataFrame = field(compare=False, repr=False)
    """The judged units, one row each: what the sections of the page are found in."""
    currencies: list[str] = field(default_factory=list)
    gone: tuple[str, ...] = ()
    """Flagged a month before, no longer judged."""

    @cached_property
    def ranks(self) -> dict[str, dict[int, CostRank]]:
        """By currency and unit, costliest first."""
        own = {unit.key: unit.costs for unit in self.units}
        return {
            name: {rank.key: rank for rank in cost_ranks(own, name)}
            for name in self.currencies
        }

    @property
    def flagged(self) -> list[Unit]:
        return sorted(
            (unit for unit in self.units if unit.is_flagged), key=evidence_order
        )

    @property
    def near_misses(self) -> list[Unit]:
        return sorted(
            (unit for unit in self.units if unit.is_near_miss), key=evidence_order
        )

    @property
    def recovered(self) -> list[Unit]:
        return sorted(
            (unit for unit in self.units if unit.change is Change.RECOVERED),
            key=evidence_order,
        )

    @property
    def costliest(self) -> list[Unit]:
        most = nlargest(COSTLIEST, self.units, key=attrgetter("cost_share"))
        return [unit for unit in most if unit.cost_share > 0]


def evidence_order(unit: Unit) -> tuple[Any, ...]:
    """Strongest evidence first: the figure that decides, as the page shows it."""
    return (unit.p_value, -unit.events, unit.label)


def bad_actor_report(
    scope: Scope, kind: UnitKind, loaded: Service | None = None
) -> BadActorReport:
    """Judge every unit of the scope against its peers; `loaded` saves reading it."""
    service = bad_actor_service(scope, loaded)
    units_of = position_units if kind is UnitKind.POSITION else machine_units
    table = judged(units_of(service), scope.confidence)
    table, gone = with_changes(table, service, units_of)
    shows_costs = may(scope.user, "records.see_costs")
    costs = costs_by(kind.of_repair, scope) if shows_costs else {}
    facts, trends = _of_flagged(table, service, kind)
    units = _units(table, scope, costs, facts, trends)
    currencies = sorted({cost.currency for unit in units for cost in unit.costs})
    return BadActorReport(
        scope=scope,
        kind=kind,
        units=units,
        shows_costs=shows_costs,
        service=service,
        table=table,
        currencies=currencies,
        gone=gone,
    )


def _of_flagged(
    table: pd.DataFrame, service: Service, kind: UnitKind
) -> tuple[dict[int, list[RepairFacts]], dict[int, OwnTrend]]:
    """What was found at the repairs of flagged units, and how their rate goes."""
    keys = [int(key) for key in table.loc[table["is_flagged"], "key"]]
    if not keys:
        return {}, {}
    facts = repair_facts(service, kind.of_repair, keys)
    own = events_in_own_time(service, kind.of_repair, facts)
    return facts, own_trends(own, service.scope.confidence)


def _units(
    table: pd.DataFrame,
    scope: Scope,
    costs: Mapping[int, Sequence[UnitCost]],
    facts: Mapping[int, Sequence[RepairFacts]],
    trends: Mapping[int, OwnTrend],
) -> list[Unit]:
    """Each row as a unit; worked out by column, as a fleet has thousands."""
    keys = table["key"].tolist()
    columns = _unit_columns(table, scope.window.end) | {
        "key": keys,
        "judged": [len(table)] * len(table),
        "costs": [tuple(costs.get(key, ())) for key in keys],
        "facts": [tuple(facts.get(key, ())) for key in keys],
        "trend": [trends.get(key) for key in keys],
    }
    # In the order of the fields: handed over by name they take twice as long.
    in_order = [columns[own.name] for own in fields(Unit)]
    return [Unit(*row) for row in zip(*in_order, strict=True)]


def _unit_columns(table: pd.DataFrame, as_of: date) -> dict[str, list[Any]]:
    """Fields of units by name that the table holds or gives."""
    lasts = [date.fromordinal(day) if day else None for day in table["last_day"]]
    counts = ("repairs", "failures", "events")
    rates = ("posterior", "low", "high")
    as_they_are = (
        *("label", "place", "expected", "worse", "p_value", "adjusted"),
        *("is_flagged", "is_near_miss", "peers", "others", "change"),
    )
    return {
        "months": (table["days"] / MONTH_DAYS).tolist(),
        "raw_rate": (table["events"] / (table["days"] / YEAR_DAYS)).tolist(),
        **{name: table[name].astype(int).tolist() for name in counts},
        **{name: (table[name] * YEAR_DAYS).tolist() for name in rates},
        **{name: table[name].tolist() for name in as_they_are},
        "last_on": lasts,
        "days_since": [(as_of - day).days if day else None for day in lasts],
    }
