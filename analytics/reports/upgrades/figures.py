"""The figures of a case with their intervals, one list for page, files and promise."""

import math
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from typing import Any

from analytics.life.arrays import FloatArray
from analytics.life.results import Interval
from analytics.money.quantities import quantity_interval
from analytics.money.upgrade import UpgradeResult
from analytics.money.upgrade_simulation import drawn_interval
from analytics.reports.upgrades.drawn import Drawn

CONFIDENCE = 0.90
SIMULATED = "90 % of 20,000 simulations of all uncertain inputs together"
CERTAIN = "All it rests on is taken as certain."
CHANCE = "A probability is its own statement of doubt: share of 20,000 simulations."
SAVING_NAMES = {
    "repair": "Repair cost saved a year",
    "lost_production": "Lost production saved a year",
    "environment": "Environment and safety saved a year",
    "energy": "Energy saved a year",
    "water": "Water saved a year",
    "barrier_fluid": "Barrier fluid saved a year",
}


@dataclass(frozen=True, slots=True)
class CaseFigure:
    """One figure; without value or limits `reason` says why.

    Parameters
    ----------
    key, label : str
    value, low, high : float or None
        Never infinite: a payback that may never come has no `high`.
    unit : {"money", "share", "months", "per year", "ratio"}
    method, reason : str
    """

    key: str
    label: str
    value: float | None
    low: float | None = None
    high: float | None = None
    unit: str = "money"
    method: str = SIMULATED
    reason: str = ""

    def as_record(self) -> dict[str, Any]:
        """Plain data for a JSON field."""
        return asdict(self)


def figures_of(result: UpgradeResult, drawn: Drawn, months: int) -> list[CaseFigure]:
    """All figures of a result; `months` are those of the chance of payback."""
    return [
        *_failures(result, drawn),
        *_savings(result, drawn),
        *_paybacks(result, months),
        *_worth(result, drawn),
    ]


def _figure(
    key: str,
    label: str,
    value: float | None,
    limits: Interval | None,
    unit: str = "money",
    reason: str = "",
) -> CaseFigure:
    low, high = (None, None) if limits is None else (limits.low, limits.high)
    if low == high:
        return CaseFigure(key, label, value, unit=unit, reason=reason or CERTAIN)
    return CaseFigure(
        key, label, value, _finite(low), _finite(high), unit=unit, reason=reason
    )


def _finite(limit: float | None) -> float | None:
    return limit if limit is not None and math.isfinite(limit) else None


def _of_drawn(drawn: FloatArray) -> Interval:
    return drawn_interval(drawn, CONFIDENCE)


def _failures(result: UpgradeResult, drawn: Drawn) -> Iterator[CaseFigure]:
    inputs = result.inputs
    yield _figure(
        *("failures_before", "Failures a year without the change"),
        result.failures_before,
        _of_drawn(drawn.failures_before),
        "per year",
    )
    yield _figure(
        *("failures_after", "Failures a year with the change"),
        result.failures_after,
        _of_drawn(drawn.failures_before - drawn.failures_avoided),
        "per year",
    )
    yield _figure(
        *("failure_ratio", "Failures after, as share of before"),
        inputs.failure_ratio.best,
        quantity_interval(inputs.failure_ratio, CONFIDENCE),
        "ratio",
    )


def _savings(result: UpgradeResult, drawn: Drawn) -> Iterator[CaseFigure]:
    yield _figure(
        *("investment", "Investment", result.investment),
        _of_drawn(-drawn.cash_flows[:, 0]),
    )
    yield _figure(
        *("yearly_saving", "Saving a year, all together", result.saving.total),
        result.simulation.saving_interval,
    )
    changes = drawn.changes
    parts = {
        "repair": drawn.repair,
        "lost_production": drawn.lost_production,
        "environment": drawn.environment,
        "energy": -changes["energy_change"],
        "water": -changes["water_change"],
        "barrier_fluid": -changes["barrier_fluid_change"],
    }
    for name, label in SAVING_NAMES.items():
        value = getattr(result.saving, name)
        yield _figure(f"saving_{name}", label, value, _of_drawn(parts[name]))


def _paybacks(result: UpgradeResult, months: int) -> Iterator[CaseFigure]:
    simulation = result.simulation
    for key, label, payback, limits in (
        (
            *("simple_payback", "Simple payback", result.simple_payback),
            simulation.payback_interval,
        ),
        (
            *("discounted_payback", "Discounted payback", result.discounted_payback),
            simulation.discounted_payback_interval,
        ),
    ):
        reason = payback.reason or ""
        if not reason and not math.isfinite(limits.high):
            reason = "One simulation in twenty or more never pays back in these years."
        yield _figure(key, label, payback.months, limits, "months", reason)
    for key, label, chance in (
        (
            *("payback_chance", f"Chance to pay back within {months} months"),
            simulation.payback_probability(months),
        ),
        (
            "discounted_payback_chance",
            f"Chance to pay back within {months} months, discounted",
            simulation.payback_probability(months, discounted=True),
        ),
        (
            *("gain_chance", "Chance that it brings more than it costs"),
            simulation.gain_probability,
        ),
    ):
        yield _figure(key, label, chance, None, "share", CHANCE)


def _worth(result: UpgradeResult, drawn: Drawn) -> Iterator[CaseFigure]:
    simulation = result.simulation
    yield _figure(
        *("net_present_value", "Net present value", result.net_present_value),
        simulation.net_present_value_interval,
    )
    rates = simulation.internal_rate_interval
    yield _figure(
        *("internal_rate", "Internal rate of return", result.internal_rate),
        rates,
        "share",
        result.internal_rate_reason or "",
    )
    ratio = result.savings_to_investment
    yield _figure(
        *("savings_to_investment", "Saving for each unit spent", ratio),
        None if ratio is None else _of_drawn(drawn.savings_to_investment),
        "ratio",
        "" if ratio is not None else "Nothing is spent.",
    )
    for key, label, cost, costs in (
        (
            *("cost_before", "Life-cycle cost without the change"),
            *(result.cost_before, drawn.cost_before),
        ),
        (
            *("cost_after", "Life-cycle cost with the change"),
            *(result.cost_after, drawn.cost_after),
        ),
    ):
        yield _figure(key, label, cost.total, _of_drawn(costs))
