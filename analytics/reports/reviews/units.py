"""One unit of a review as plain values, and the key that names it."""

import math
from typing import Any

from analytics.reports.bad_actors.changes import Change
from analytics.reports.bad_actors.report import Unit, UnitKind
from analytics.reports.reviews.carried import Carried
from plant.display import fixed, interval, money, number, percent

NEAR_MISS = "near miss"
Figures = dict[str, Any]
STATUS_WORDS = {
    Change.NEW: "Newly flagged: not a month before.",
    Change.STILL: "Still flagged, as a month before.",
    Change.RECOVERED: "Recovered: flagged a month before, no longer.",
    NEAR_MISS: "Near miss.",
}


def unit_key(kind: UnitKind, pk: int) -> str:
    """Such as `position-12` or `pump-7`."""
    return f"{kind.value}-{pk}"


def unit_figures(
    unit: Unit,
    kind: UnitKind,
    *,
    status: str,
    carried: Carried | None,
    is_costliest: bool,
) -> Figures:
    """What is shown and frozen of one unit; `shown` holds the texts of the table."""
    return {
        "id": unit_key(kind, unit.key),
        "kind": kind.value,
        "pk": unit.key,
        "label": unit.label,
        "place": unit.place,
        "repairs": unit.repairs,
        "failures": unit.failures,
        "events": unit.events,
        "rate": _finite(unit.posterior),
        "low": _finite(unit.low),
        "high": _finite(unit.high),
        "expected": _finite(unit.expected),
        "worse": _finite(unit.worse),
        "adjusted": _finite(unit.adjusted),
        "is_flagged": unit.is_flagged,
        "is_costliest": is_costliest,
        "status": status,
        "status_words": STATUS_WORDS.get(status, ""),
        "carried": carried.decision if carried else "",
        "carried_from": carried.month if carried else "",
        "reason": unit.reason,
        "cost": unit.cost_sentence if unit.costs else "",
        "amounts": _amounts(unit),
        "shown": _shown(unit),
    }


def told_once(units: list[Figures]) -> list[Figures]:
    """Without machines whose events are those of the one position they stood at.

    A machine that is flagged where its position is not, or carried over, stays.
    """
    at = {unit["label"]: unit for unit in units if unit["kind"] == UnitKind.POSITION}

    def is_told(unit: Figures) -> bool:
        position = at.get(unit["place"])
        if unit["kind"] == UnitKind.POSITION or position is None or unit["carried"]:
            return False
        counted = ("repairs", "failures", "events")
        same = all(unit[name] == position[name] for name in counted)
        return same and (position["is_flagged"] or not unit["is_flagged"])

    return [unit for unit in units if not is_told(unit)]


def _shown(unit: Unit) -> dict[str, str]:
    """The same numbers as the pages write them."""
    return {
        "repairs": number(unit.repairs),
        "events": number(unit.events),
        "rate": fixed(unit.posterior, 2),
        "interval": interval(unit.low, unit.high, lambda value: fixed(value, 2)),
        "expected": fixed(unit.expected) if math.isfinite(unit.expected) else "–",
        "worse": percent(unit.worse) if math.isfinite(unit.worse) else "–",
    }


def _amounts(unit: Unit) -> dict[str, str]:
    """By currency; unlike the sentence, none moves with what others cost."""
    return {
        cost.currency: f"{money(cost.repair_cost, cost.currency)} of repair cost, "
        f"{money(cost.lost_production, cost.currency)} of lost production"
        for cost in unit.costs
    }


def _finite(value: float) -> float | None:
    """JSON knows neither infinity nor not-a-number."""
    return round(float(value), 10) if math.isfinite(value) else None
