"""The figures of a case with their intervals, one list for page, files and promise."""

import math
from collections.abc import Iterator
from dataclasses import asdict, dataclass, replace
from typing import Any

import numpy as np

from analytics.life.arrays import FloatArray
from analytics.money.quantities import Quantity, quantity_interval
from analytics.money.upgrade import UpgradeResult
from analytics.money.upgrade_simulation import drawn_interval
from analytics.reports.upgrades.drawn import Drawn

CONFIDENCE = 0.90
SIMULATED = (
    "Mean, with every uncertain input at its mean; limits hold 90 % of 20,000 "
    "simulations of all uncertain inputs together"
)
MEDIAN = "Median and 90 % limits of 20,000 simulations of all uncertain inputs together"
OF_INPUT = "As assumed of the input, with its 90 % limits"
FAR_OFF = "The median: few very large outcomes draw the mean out of the limits."
NO_COST = (
    "No cost was typed: purchase and installation are both nothing, so there is "
    "nothing to pay back."
)
NEVER_HALF = "Half of the simulations or more do not pay back in these years."
SOME_NEVER = "One simulation in twenty or more never pays back in these years."
NOTHING_HALF = "In half of the simulations or more nothing comes back."
SHARE = "Share of 20,000 simulations"
CERTAIN = "All it rests on is taken as certain."
CHANCE = "A probability is its own statement of doubt: share of 20,000 simulations."
# An internal rate at which nothing comes back.
ALL_LOST = -1.0
# A value where nothing is uncertain, and the sentence why there is none.
Certain = tuple[float | None, str]
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
        The method says whether the value is a mean or a median.
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


def spends(result: UpgradeResult) -> bool:
    """Whether any purchase or installation is to be paid back."""
    return result.investment > 0.0


def figures_of(result: UpgradeResult, drawn: Drawn, months: int) -> list[CaseFigure]:
    """All figures of a result; `months` are those of the chance of payback."""
    return [
        *_failures(result, drawn),
        *_savings(result, drawn),
        *_paybacks(result),
        *_chances(result, months),
        *_worth(result, drawn),
    ]


def _mean(
    key: str, label: str, value: float, drawn: FloatArray, unit: str = "money"
) -> CaseFigure:
    """The mean; the median where a few draws pull the mean out of the limits."""
    limits = drawn_interval(drawn, CONFIDENCE)
    if math.isclose(limits.low, limits.high, rel_tol=1e-12):
        return CaseFigure(key, label, value, unit=unit, reason=CERTAIN)
    if limits.low <= value <= limits.high:
        return CaseFigure(key, label, value, limits.low, limits.high, unit)
    middle = float(np.median(drawn))
    ends = (limits.low, limits.high)
    return CaseFigure(key, label, middle, *ends, unit, method=MEDIAN, reason=FAR_OFF)


def _median(
    key: str, label: str, certain: Certain, drawn: FloatArray, unit: str, why: str
) -> CaseFigure:
    """The median, as some draws are infinite; `why` is said where that is no number."""
    limits = drawn_interval(drawn, CONFIDENCE)
    value, reason = certain
    if limits.low == limits.high:
        value = value if math.isfinite(limits.low) else None
        said = reason or (why if value is None else CERTAIN)
        return CaseFigure(key, label, value, unit=unit, reason=said)
    # No interpolation: between a number and infinity there is nothing.
    middle = _finite(float(np.quantile(drawn, 0.5, method="inverted_cdf")))
    ends = (_finite(limits.low), _finite(limits.high))
    said = why if middle is None else ""
    return CaseFigure(key, label, middle, *ends, unit, method=MEDIAN, reason=said)


def _finite(limit: float | None) -> float | None:
    return limit if limit is not None and math.isfinite(limit) else None


def _of_input(
    key: str, label: str, value: float, quantity: Quantity, unit: str, times: int = 1
) -> CaseFigure:
    """A figure that hangs on one input alone has the very limits of that input."""
    if not quantity.uncertain:
        return CaseFigure(key, label, value, unit=unit, reason=CERTAIN)
    limits = quantity_interval(quantity, CONFIDENCE)
    ends = (times * limits.low, times * limits.high)
    return CaseFigure(key, label, value, *ends, unit, method=OF_INPUT)


def _failures(result: UpgradeResult, drawn: Drawn) -> Iterator[CaseFigure]:
    inputs = result.inputs
    yield _of_input(
        *("failures_before", "Failures a year without the change"),
        result.failures_before,
        inputs.failures_per_year,
        "per year",
        inputs.positions,
    )
    yield _mean(
        *("failures_after", "Failures a year with the change", result.failures_after),
        *(drawn.failures_before - drawn.failures_avoided, "per year"),
    )
    yield _of_input(
        *("failure_ratio", "Failures after, as share of before"),
        inputs.failure_ratio.mean,
        inputs.failure_ratio,
        "ratio",
    )


def _savings(result: UpgradeResult, drawn: Drawn) -> Iterator[CaseFigure]:
    yield _mean(
        *("investment", "Investment", result.investment, -drawn.cash_flows[:, 0])
    )
    saving = result.saving
    yield _mean(
        *("yearly_saving", "Saving a year, all together", saving.total),
        result.simulation.saving,
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
        yield _mean(f"saving_{name}", label, getattr(saving, name), parts[name])


def _paybacks(result: UpgradeResult) -> Iterator[CaseFigure]:
    simulation = result.simulation
    for key, label, payback, drawn in (
        (
            *("simple_payback", "Simple payback", result.simple_payback),
            simulation.payback_months,
        ),
        (
            *("discounted_payback", "Discounted payback", result.discounted_payback),
            simulation.discounted_payback_months,
        ),
    ):
        if not spends(result):
            yield CaseFigure(key, label, None, unit="months", reason=NO_COST)
            continue
        certain = (payback.months, payback.reason or "")
        yield _payback(_median(key, label, certain, drawn, "months", NEVER_HALF))


def _payback(found: CaseFigure) -> CaseFigure:
    """Said where some simulations never pay back though half of them do."""
    if found.value is None or found.high is not None or found.low is None:
        return found
    return replace(found, reason=SOME_NEVER)


def _chances(result: UpgradeResult, months: int) -> Iterator[CaseFigure]:
    simulation = result.simulation
    for key, more, discounted in (
        ("payback_chance", "", False),
        ("discounted_payback_chance", ", discounted", True),
    ):
        chance, reason = None, NO_COST
        if spends(result):
            chance = simulation.payback_probability(months, discounted=discounted)
            reason = CHANCE
        label = f"Chance to pay back within {months} months{more}"
        yield CaseFigure(key, label, chance, unit="share", method=SHARE, reason=reason)
    yield CaseFigure(
        *("gain_chance", "Chance that it brings more than it costs"),
        value=simulation.gain_probability,
        unit="share",
        method=SHARE,
        reason=CHANCE,
    )


def _worth(result: UpgradeResult, drawn: Drawn) -> Iterator[CaseFigure]:
    simulation = result.simulation
    yield _mean(
        *("net_present_value", "Net present value", result.net_present_value),
        simulation.net_present_value,
    )
    yield _internal_rate(result)
    label = "Saving for each unit spent"
    if spends(result):
        certain = (result.savings_to_investment, "")
        ratios = drawn.savings_to_investment
        yield _median("savings_to_investment", label, certain, ratios, "ratio", "")
    else:
        yield CaseFigure(
            *("savings_to_investment", label, None),
            unit="ratio",
            reason="Nothing is spent.",
        )
    yield _mean(
        *("cost_before", "Life-cycle cost without the change"),
        *(result.cost_before.total, drawn.cost_before),
    )
    yield _mean(
        *("cost_after", "Life-cycle cost with the change"),
        *(result.cost_after.total, drawn.cost_after),
    )


def _internal_rate(result: UpgradeResult) -> CaseFigure:
    key, label = "internal_rate", "Internal rate of return"
    certain = (result.internal_rate, result.internal_rate_reason or "")
    rates = result.simulation.internal_rate
    if not spends(result):
        return CaseFigure(key, label, None, unit="share", reason=certain[1] or NO_COST)
    found = _median(key, label, certain, rates, "share", NOTHING_HALF)
    if found.low is not None and found.value is not None and found.value <= ALL_LOST:
        return replace(found, value=None, reason=NOTHING_HALF)
    return found
