"""The Bad actors page: units with their evidence, their cost, and the reasons."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any

import numpy as np
import pandas as pd
from django.db import models

from analytics.exposure import MONTH_DAYS, Floats
from analytics.peers import peer_groups
from analytics.reports.bad_actors.costs import UnitCost, costs_by
from analytics.reports.bad_actors.rule import evidence, verdict
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
# Below it the odds of the models say nothing that helps.
SURE_ENOUGH = 0.5
RAREST_NAMED = 1_000_000


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

    @property
    def cost_share(self) -> float:
        return max((cost.share for cost in self.costs), default=0.0)

    @property
    def reason(self) -> str:
        """Why it is flagged, or why not although its counts are high."""
        if self.is_near_miss:
            return f"{self._counts}; {self._not_flagged}."
        if not self.is_flagged:
            return ""
        rare = one_in(self.p_value)
        chance = f"by chance alone {rare} pumps like it would have as many"
        if self.worse >= SURE_ENOUGH:
            sure = f"{percent(self.worse)} sure that it is worse than twice its peers"
            chance = f"{sure}, and {chance}"
        return f"{self._counts}; {chance}."

    @property
    def _counts(self) -> str:
        repairs = count(self.repairs, "repair")
        if self.events != self.repairs:
            repairs += f" ({count(self.events, 'separate event')}, rework merged)"
        return (
            f"{repairs} in {fixed(self.months)} months where pumps like it have "
            f"{fixed(self.expected)}"
        )

    @property
    def _not_flagged(self) -> str:
        """How many of the units would look as bad if chance alone were at work."""
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


@dataclass(frozen=True, slots=True)
class BadActorReport:
    scope: Scope
    kind: UnitKind
    units: list[Unit]
    shows_costs: bool
    currencies: list[str] = field(default_factory=list)

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
    def costliest(self) -> list[Unit]:
        spenders = [unit for unit in self.units if unit.cost_share > 0]
        return sorted(spenders, key=lambda u: -u.cost_share)[:COSTLIEST]


def evidence_order(unit: Unit) -> tuple[Any, ...]:
    """Strongest evidence first: the figure that decides, as the page shows it."""
    return (unit.p_value, -unit.events, unit.label)


def one_in(chance: float, *, rarer: str = "fewer than") -> str:
    """A small chance in words: 1 in 18; `rarer` stands before the rarest named."""
    if chance * RAREST_NAMED < 1:
        return f"{rarer} 1 in {number(RAREST_NAMED)}"
    return f"1 in {number(1 / chance, 2)}"


def bad_actor_report(scope: Scope, kind: UnitKind) -> BadActorReport:
    """Judge every unit of the scope against its peers."""
    service = bad_actor_service(scope)
    table = (
        position_units(service) if kind is UnitKind.POSITION else machine_units(service)
    )
    table = judged(table, scope.confidence)
    size, shows_costs = len(table), may(scope.user, "records.see_costs")
    costs = costs_by(kind.of_repair, scope) if shows_costs else {}
    units = [
        _unit(row, scope, size, costs.get(row["key"], ()))
        for row in table.to_dict("records")
    ]
    currencies = sorted({cost.currency for unit in units for cost in unit.costs})
    return BadActorReport(scope, kind, units, shows_costs, currencies)


def flagged_labels(scope: Scope) -> list[str]:
    """The positions that the rule flags, for a page that shows no more of them."""
    units = judged(
        position_units(bad_actor_service(scope)), scope.confidence, with_odds=False
    )
    return sorted(units.loc[units["is_flagged"], "label"])


def judged(
    units: pd.DataFrame, confidence: float, *, with_odds: bool = True
) -> pd.DataFrame:
    """Add what the peers say and which units the rule flags."""
    size = len(units)
    columns = ("posterior", "low", "high", "expected", "worse", "p_value")
    found: dict[str, Floats] = {name: np.full(size, np.nan) for name in columns}
    peers = np.full(size, "", dtype=object)
    others = np.zeros(size, dtype=np.int64)
    events = units["events"].to_numpy(dtype=np.int64)
    days = units["days"].to_numpy(dtype=float)
    sites = units["site_name"].unique()
    # With one site alone its name in front of every group would say nothing.
    only_site = f"{sites[0]}, " if len(sites) == 1 else ""
    for group in peer_groups(units):
        answer = evidence(
            events[group.members],
            days[group.members],
            confidence,
            with_odds=with_odds,
        )
        asked = group.answers[group.members]
        for name in columns:
            found[name][group.answers] = getattr(answer, name)[asked]
        peers[group.answers] = group.name.removeprefix(only_site)
        others[group.answers] = group.members.sum() - 1
    judgement = verdict(events, found["expected"], found["p_value"])
    return units.assign(
        **found,
        peers=peers,
        others=others,
        is_flagged=judgement.flagged,
        is_near_miss=judgement.near_miss,
        adjusted=judgement.adjusted,
    )


def _unit(
    row: dict[Any, Any], scope: Scope, judged: int, costs: Sequence[UnitCost]
) -> Unit:
    last = date.fromordinal(row["last_day"]) if row["last_day"] else None
    years = row["days"] / YEAR_DAYS
    return Unit(
        key=int(row["key"]),
        label=row["label"],
        place=row["place"],
        repairs=int(row["repairs"]),
        failures=int(row["failures"]),
        events=int(row["events"]),
        months=row["days"] / MONTH_DAYS,
        raw_rate=row["events"] / years,
        posterior=row["posterior"] * YEAR_DAYS,
        low=row["low"] * YEAR_DAYS,
        high=row["high"] * YEAR_DAYS,
        expected=row["expected"],
        worse=row["worse"],
        p_value=row["p_value"],
        adjusted=row["adjusted"],
        is_flagged=bool(row["is_flagged"]),
        is_near_miss=bool(row["is_near_miss"]),
        judged=judged,
        peers=row["peers"],
        others=int(row["others"]),
        last_on=last,
        days_since=(scope.window.end - last).days if last else None,
        costs=tuple(costs),
    )
