"""Whether planned replacement pays for a population, when, and how sure that is."""

from dataclasses import dataclass

import numpy as np

from analytics.life.errors import LifeError
from analytics.life.replacement import CostCurve, age_cost_curve, block_cost_curve
from analytics.life.replacement_range import ReplacementRange, age_replacement_range
from analytics.reports.life.reading import LifeReading
from analytics.reports.life.words import nothing_to_fit

CURVE_POINTS = 80
# The curve is drawn so far beyond the best age or the characteristic life.
REACH = 2.0


@dataclass(frozen=True, slots=True)
class Costs:
    """One planned and one failure replacement, in one currency of the reader."""

    planned: float
    failure: float


@dataclass(frozen=True, slots=True, eq=False)
class LifeReplacement:
    """Planned replacement of a population; `refusal` where nothing can be said."""

    reading: LifeReading
    costs: Costs | None = None
    range: ReplacementRange | None = None
    by_age: CostCurve | None = None
    by_block: CostCurve | None = None
    refusal: str = ""

    @property
    def run_to_failure(self) -> float:
        """Cost of running to failure, per unit of the clock."""
        assert self.range is not None
        return self.range.policy.run_to_failure_cost_rate


def life_replacement(reading: LifeReading, costs: Costs | None) -> LifeReplacement:
    """Best age at these costs; without costs there is nothing to compute yet."""
    refusal = _refusal(reading)
    if refusal or costs is None:
        return LifeReplacement(reading, costs, refusal=refusal)
    basis = reading.basis
    assert basis is not None
    assert basis.scale is not None
    shape, scale = basis.shape, basis.scale
    try:
        found = age_replacement_range(
            basis, costs.planned, costs.failure, reading.question.confidence
        )
        reach = max(scale, found.policy.age or 0.0) * REACH
        ages = np.linspace(reach / CURVE_POINTS, reach, CURVE_POINTS)
        return LifeReplacement(
            reading,
            costs,
            found,
            by_age=age_cost_curve(shape, scale, costs.planned, costs.failure, ages),
            by_block=block_cost_curve(shape, scale, costs.planned, costs.failure, ages),
        )
    except LifeError as error:
        return LifeReplacement(reading, costs, refusal=str(error))


def _refusal(reading: LifeReading) -> str:
    """Why no age can be named and what to do, or nothing."""
    if reading.sample.used.empty:
        return nothing_to_fit(reading.sample)
    if reading.basis is None:
        return (
            "No life of this choice has failed yet: nothing is known of when it would, "
            "so no age of replacement can be named."
        )
    return ""
