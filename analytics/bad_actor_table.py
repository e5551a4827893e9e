"""Columns, cells and export rows of the Bad actors page."""

from decimal import Decimal
from typing import Any

from django.urls import reverse

from analytics.bad_actor_report import (
    BadActorReport,
    Unit,
    UnitCost,
    UnitKind,
    evidence_order,
)
from analytics.forms.bad_actors import Ranking
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

NOTHING = Decimal("0.00")
SORT_KEYS: SortKeys = {
    "evidence": evidence_order,
    "name": lambda unit: unit.label.casefold(),
    "repairs": lambda unit: (unit.repairs, unit.events),
    "events": lambda unit: unit.events,
    "failures": lambda unit: unit.failures,
    "months": lambda unit: unit.months,
    "raw": lambda unit: unit.raw_rate,
    "rate": lambda unit: unit.posterior,
    "worse": lambda unit: -1.0 if unit.worse != unit.worse else unit.worse,
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
        Column("Repairs", "repairs", numeric=True),
        Column("Separate events", "events", numeric=True),
        Column("Failures", "failures", numeric=True),
        Column("Months in service", "months", numeric=True),
        Column("Events a year, as counted", "raw", numeric=True),
        Column("Events a year, estimate", "rate", numeric=True),
        Column(confidence_label(report.scope.confidence), numeric=True),
        Column("Its peers, a year", numeric=True),
        Column("Worse than twice its peers", "worse", numeric=True),
        Column("Days since the last", "days", numeric=True),
    ]
    for currency in report.currencies:
        listed += [
            Column(f"Repair cost, {currency}", "cost", numeric=True),
            Column(f"Lost production, {currency}", numeric=True),
        ]
    return [*listed, Column("Peers")]


def cells(unit: Unit, report: BadActorReport) -> list[Cell]:
    found = [
        _name_cell(unit, report.kind),
        _numeric(number(unit.repairs)),
        _numeric(number(unit.events)),
        _numeric(number(unit.failures)),
        _numeric(fixed(unit.months)),
        _numeric(fixed(unit.raw_rate, 2)),
        _numeric(fixed(unit.posterior, 2)),
        _numeric(interval(unit.low, unit.high, two_places)),
        _numeric(fixed(peer_rate(unit), 2)),
        _numeric(percent(unit.worse)),
        _numeric(
            NO_VALUE if unit.days_since is None else number(unit.days_since),
            title=date(unit.last_on),
        ),
    ]
    for currency in report.currencies:
        cost = cost_in(unit, currency)
        found += [
            _numeric(money(cost.repair_cost), note=_of_all(cost.share)),
            _numeric(money(cost.lost_production), note=_of_all(cost.lost_share)),
        ]
    return [*found, {"text": unit.peers, "note": count(unit.others, "other")}]


def cost_in(unit: Unit, currency: str) -> UnitCost:
    nothing = UnitCost(currency, NOTHING, NOTHING, 0.0, 0.0)
    return next((cost for cost in unit.costs if cost.currency == currency), nothing)


def peer_rate(unit: Unit) -> float:
    """Events a year of the peers, the unit left out."""
    return unit.expected / unit.months * 12


def _of_all(share: float) -> str:
    return f"{percent(share, 1)} of all" if share else ""


def two_places(value: Any) -> str:
    return fixed(value, 2)


def address(unit: Unit, kind: UnitKind) -> str:
    name = "position" if kind is UnitKind.POSITION else "pump"
    return reverse(f"plant:{name}_detail", args=[unit.key])


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
            "lost production",
            "share of lost production",
        )
    ]
    return [
        report.kind.label,
        "place",
        "flagged",
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
        *costs,
    ]


def export_row(unit: Unit, report: BadActorReport) -> list[Any]:
    costs = [cost_in(unit, currency) for currency in report.currencies]
    return [
        unit.label,
        unit.place,
        "yes" if unit.is_flagged else "no",
        unit.reason if unit.is_flagged else "",
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
        *[
            amount
            for cost in costs
            for amount in (
                cost.repair_cost,
                cost.share,
                cost.lost_production,
                cost.lost_share,
            )
        ],
    ]
