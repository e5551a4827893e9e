"""Columns, cells and export rows of the Bad actors page."""

from typing import Any

from django.urls import reverse

from analytics.forms.bad_actors import Ranking
from analytics.reports.bad_actors.costs import UnitCost
from analytics.reports.bad_actors.pareto import CostRank
from analytics.reports.bad_actors.reasons import one_in
from analytics.reports.bad_actors.repeats import repeat_of
from analytics.reports.bad_actors.report import (
    BadActorReport,
    Unit,
    UnitKind,
    evidence_order,
)
from analytics.reports.costs.table import NO_COST_YET
from analytics.tables import Cell, SortKeys
from analytics.wording import confidence_label
from plant.display import (
    NO_VALUE,
    count,
    date,
    fixed,
    interval,
    money,
    number,
    percent,
)
from plant.listing import Column

# A larger chance reads better as a percentage than as one in so many.
SELDOM = 0.2
SORT_KEYS: SortKeys = {
    "evidence": evidence_order,
    "name": lambda unit: unit.label.casefold(),
    "repairs": lambda unit: (unit.repairs, unit.events),
    "events": lambda unit: unit.events,
    "failures": lambda unit: unit.failures,
    "months": lambda unit: unit.months,
    "raw": lambda unit: unit.raw_rate,
    "rate": lambda unit: unit.posterior,
    "worse": lambda unit: unit.worse if unit.worse == unit.worse else -1.0,
    "cost": lambda unit: (unit.cost_share, unit.repairs),
    "days": lambda unit: float("inf") if unit.last_on is None else unit.days_since,
}
USUAL_SORTS = {
    Ranking.EVIDENCE: "evidence",
    Ranking.REPAIRS: "-repairs",
    Ranking.COST: "-cost",
}


def columns(report: BadActorReport) -> list[Column]:
    first = "Position" if report.kind is UnitKind.POSITION else "Pump"
    listed = [
        Column(first, "name"),
        Column("By chance", "evidence", numeric=True),
        Column("Repairs", "repairs", numeric=True),
        Column("Failures", "failures", numeric=True),
        Column("Events a year", "rate", numeric=True),
        Column(confidence_label(report.scope.confidence), numeric=True),
        Column("Its peers", numeric=True),
        Column("Odds of twice its peers", "worse", numeric=True),
        Column("Months in service", "months", numeric=True),
        Column("Days since last", "days", numeric=True),
        Column("Own rate, and what comes back"),
        Column("Against a month before"),
    ]
    for currency in report.currencies:
        listed += [
            Column(f"Repair cost, {currency}", "cost", numeric=True),
            Column(f"Lost production, {currency}", numeric=True),
        ]
    return listed


def cells(unit: Unit, report: BadActorReport) -> list[Cell]:
    found = [
        _name_cell(unit, report.kind),
        _numeric(chance(unit), note=f"adjusted p {number(unit.adjusted, 2)}"),
        _numeric(number(unit.repairs), note=_events_note(unit)),
        _numeric(number(unit.failures)),
        _numeric(fixed(unit.posterior, 2), note=f"counted {fixed(unit.raw_rate, 2)}"),
        _numeric(interval(unit.low, unit.high, two_places)),
        _numeric(
            fixed(peer_rate(unit), 2),
            note=f"{unit.peers}, {count(unit.others, 'other')}",
        ),
        _numeric(percent(unit.worse)),
        _numeric(fixed(unit.months)),
        _numeric(
            NO_VALUE if unit.days_since is None else number(unit.days_since),
            title=date(unit.last_on),
        ),
        _own_cell(unit),
        {"text": unit.change.value if unit.change else NO_VALUE},
    ]
    for currency in report.currencies:
        found += _cost_cells(unit, currency, report)
    return found


def _own_cell(unit: Unit) -> Cell:
    """How its own rate goes and what comes back: known of flagged units only."""
    repeat = repeat_of(unit.facts)
    return {
        "text": unit.trend.course.value if unit.trend else NO_VALUE,
        "note": repeat.in_words if repeat else "",
    }


def chance(unit: Unit) -> str:
    """How often one of the peers has as many: the figure that decides."""
    if unit.p_value > SELDOM:
        return percent(unit.p_value)
    return one_in(unit.p_value, rarer="under")


def _events_note(unit: Unit) -> str:
    same = unit.events == unit.repairs
    return "" if same else count(unit.events, "separate event")


def _cost_cells(unit: Unit, currency: str, report: BadActorReport) -> list[Cell]:
    cost = cost_in(unit, currency)
    if cost is None:
        bare = unit.repairs and not unit.costs
        note = NO_COST_YET if bare else ""
        return [_numeric(NO_VALUE, note=note), _numeric(NO_VALUE)]
    return [
        _numeric(
            money(cost.repair_cost),
            note=_of_all(cost.share, report.ranks[currency].get(unit.key)),
        ),
        _numeric(money(cost.lost_production), note=_of_all(cost.lost_share)),
    ]


def cost_in(unit: Unit, currency: str) -> UnitCost | None:
    """What it cost in one currency; None without any cost line."""
    return next((cost for cost in unit.costs if cost.currency == currency), None)


def peer_rate(unit: Unit) -> float:
    """Events a year of the peers, the unit left out."""
    return unit.expected / unit.months * 12


def _of_all(share: float, rank: CostRank | None = None) -> str:
    """Its part of all cost, and that of it and all costlier units together."""
    if not share:
        return ""
    words = f"{percent(share, 1)} of all"
    if rank is not None and rank.rank > 1:
        words += f", {so_far(rank.so_far)} with the costlier"
    return words


def so_far(share: float) -> str:
    """A sum of shares; what adding them in floating point left short is made good."""
    return percent(round(share, 9), 1)


def two_places(value: Any) -> str:
    return fixed(value, 2)


def address(unit: Unit, kind: UnitKind) -> str:
    """The story of the unit: what is behind its figures."""
    name = "story" if kind is UnitKind.POSITION else "pump_story"
    return reverse(f"analytics:{name}", args=[unit.key])


def _name_cell(unit: Unit, kind: UnitKind) -> Cell:
    flag = {"flag": "flagged", "alert": True} if unit.is_flagged else {}
    return {
        "text": unit.label,
        "url": address(unit, kind),
        "note": unit.place,
        **flag,
    }


def _numeric(text: str, **more: Any) -> Cell:
    return {"text": text, "numeric": True, **more}


def export_header(report: BadActorReport) -> list[str]:
    costs = [
        f"{name} {currency}"
        for currency in report.currencies
        for name in (
            "repair cost",
            "share of repair cost",
            "share with the costlier units",
            "lost production",
            "share of lost production",
        )
    ]
    return [
        report.kind.label,
        "place",
        "flagged",
        "a month before",
        "reason",
        "repairs",
        "separate events",
        "failures",
        "months in service",
        "events a year, as counted",
        "events a year, estimate",
        "low",
        "high",
        "events expected of its peers",
        "probability worse than twice its peers",
        "p-value",
        "p-value adjusted",
        "peers",
        "other units in the group",
        "last repair",
        "days since last repair",
        "what comes back",
        "its own rate",
        "power-law shape of its own events",
        *costs,
    ]


def export_row(unit: Unit, report: BadActorReport) -> list[Any]:
    repeat, trend = repeat_of(unit.facts), unit.trend
    return [
        unit.label,
        unit.place,
        "yes" if unit.is_flagged else "no",
        unit.change.value if unit.change else "",
        unit.reason,
        unit.repairs,
        unit.events,
        unit.failures,
        unit.months,
        unit.raw_rate,
        unit.posterior,
        unit.low,
        unit.high,
        unit.expected,
        unit.worse,
        unit.p_value,
        unit.adjusted,
        unit.peers,
        unit.others,
        unit.last_on,
        unit.days_since,
        repeat.in_words if repeat else "",
        trend.course.value if trend else "",
        trend.shape if trend else None,
        *[
            amount
            for currency in report.currencies
            for amount in _cost_amounts(unit, currency, report)
        ],
    ]


def _cost_amounts(unit: Unit, currency: str, report: BadActorReport) -> list[Any]:
    cost = cost_in(unit, currency)
    if cost is None:
        return [None] * 5
    rank = report.ranks[currency].get(unit.key)
    return [
        cost.repair_cost,
        cost.share,
        rank.so_far if rank else None,
        cost.lost_production,
        cost.lost_share,
    ]
