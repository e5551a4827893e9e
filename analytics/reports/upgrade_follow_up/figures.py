"""Numbers of one case that its report does not name, for promises and comparisons."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from analytics.money.upgrade import UpgradeResult
from analytics.money.upgrade_inputs import UpgradeInputs
from analytics.money.upgrade_simulation import drawn_interval
from analytics.reports.upgrades.assumptions import PAYBACK_MONTHS
from analytics.reports.upgrades.drawn import drawn_of
from analytics.reports.upgrades.figures import CONFIDENCE, spends


@dataclass(frozen=True, slots=True)
class Figure:
    """A number with its limits; None where there is no limit or none was drawn.

    `reason` says why there is no number.
    """

    value: float | None
    low: float | None = None
    high: float | None = None
    reason: str = ""

    @classmethod
    def from_record(cls, record: Mapping[str, Any] | None) -> "Figure":
        """Take back what a report or this class recorded."""
        kept = record or {}
        value, low, high = (finite(kept.get(n)) for n in ("value", "low", "high"))
        return cls(value, low, high, kept.get("reason") or "")

    def as_record(self) -> dict[str, float | None]:
        return {"value": self.value, "low": self.low, "high": self.high}

    @property
    def has_limits(self) -> bool:
        return self.low is not None or self.high is not None


def payback_chances(result: UpgradeResult) -> dict[int, float]:
    """Chance to have paid back, by months from today, as far as the horizon goes.

    None where nothing is spent.
    """
    if not spends(result):
        return {}
    simulated = result.simulation
    within = [months for months in PAYBACK_MONTHS if months <= simulated.horizon_months]
    return {months: simulated.payback_probability(months) for months in within}


def cost_per_failure(inputs: UpgradeInputs) -> float:
    """Money that one failure costs at the mean of each, all three kinds together."""
    kinds = (inputs.repair_cost, inputs.lost_production, inputs.environment_cost)
    return sum(kind.mean for kind in kinds)


def saving_of_failures(result: UpgradeResult) -> Figure:
    """Money saved a year by failures avoided, without what the running costs add.

    The limits are of the very draws of the simulation.
    """
    drawn = drawn_of(result.inputs)
    whole = drawn.repair + drawn.lost_production + drawn.environment
    limits = drawn_interval(whole, CONFIDENCE)
    best = result.saving
    value = best.repair + best.lost_production + best.environment
    return Figure(value, finite(limits.low), finite(limits.high))


def finite(value: float | None) -> float | None:
    """What JSON can hold: no limit is nothing."""
    return value if value is not None and math.isfinite(value) else None
