"""The Bad actors page: units with their evidence, their cost, and the reasons."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from typing import Any

import numpy as np
import pandas as pd
from django.db import models

from analytics.bad_actor_units import (
    bad_actor_service,
    machine_units,
    position_units,
)
from analytics.bad_actors import evidence, verdict
from analytics.exposure import MONTH_DAYS, Floats
from analytics.peers import peer_groups
from analytics.scope import Scope
from plant.access import may
from plant.display import NO_BREAK_SPACE, count, fixed, money, number, percent
from records.selectors.costs import cost_sums, lines_of, repairs_reported

YEAR_DAYS = 12 * MONTH_DAYS
COSTLIEST = 3
# Below it the chance of so many events says more than the odds of the models.
SURE_ENOUGH = 0.5
SMALLEST_CHANCE = 1e-12
NOTHING = Decimal("0.00")


class UnitKind(models.TextChoices):
    """Whether a tag is judged or the machine, which can move between tags."""

    POSITION = "position", "Position"
    MACHINE = "pump", "Pump (serial number)"


@dataclass(frozen=True, slots=True)
class UnitCost:
    """Cost of one unit in one currency, with its share of the cost of all units."""

    currency: str
    repair_cost: Decimal
    lost_production: Decimal
    share: float
    lost_share: float


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
        """Why it is flagged; every number is one that the rule used."""
        repairs = count(self.repairs, "repair")
        if self.events != self.repairs:
            repairs += f" ({count(self.events, 'separate event')}, rework merged)"
        sure = f"{percent(self.worse)} sure that it is worse than twice its peers"
        if not self.worse >= SURE_ENOUGH:
            one_in = number(1 / max(self.p_value, SMALLEST_CHANCE), 2)
            sure = f"by chance alone one in {one_in} pumps like it has as many"
        return (
            f"{repairs} in {fixed(self.months)} months where pumps like it have "
            f"{fixed(self.expected)}; {sure}."
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
    def costliest(self) -> list[Unit]:
        spenders = [unit for unit in self.units if unit.cost_share > 0]
        return sorted(spenders, key=lambda u: -u.cost_share)[:COSTLIEST]


def evidence_order(unit: Unit) -> tuple[Any, ...]:
    """Strongest evidence first."""
    worse = unit.worse if unit.worse == unit.worse else 0.0
    return (not unit.is_flagged, unit.p_value, -worse, -unit.events, unit.label)


def bad_actor_report(scope: Scope, kind: UnitKind) -> BadActorReport:
    """Judge every unit of the scope against its peers."""
    service = bad_actor_service(scope)
    table = (
        position_units(service) if kind is UnitKind.POSITION else machine_units(service)
    )
    table = judged(table, scope.confidence)
    shows_costs = may(scope.user, "records.see_costs")
    costs = _costs(scope, kind) if shows_costs else {}
    units = [
        _unit(row, scope, costs.get(row["key"], ())) for row in table.to_dict("records")
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
        adjusted=judgement.adjusted,
    )


def _unit(row: dict[Any, Any], scope: Scope, costs: Sequence[UnitCost]) -> Unit:
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
        peers=row["peers"],
        others=int(row["others"]),
        last_on=last,
        days_since=(scope.window.end - last).days if last else None,
        costs=tuple(costs),
    )


def _costs(scope: Scope, kind: UnitKind) -> dict[int, list[UnitCost]]:
    """Cost of the window by unit: lines of the repairs reported in it."""
    lines = lines_of(
        repairs_reported(
            user=scope.user,
            site=scope.site,
            area=scope.area,
            start=scope.window.start,
            end=scope.window.end,
        )
    )
    field_name = f"repair__{'position' if kind is UnitKind.POSITION else 'pump'}"
    rows = [
        (
            row[field_name],
            row["currency"],
            row["repair_estimate"] + row["repair_booked"],
            row["production_estimate"] + row["production_booked"],
        )
        for row in cost_sums(lines, field_name)
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
