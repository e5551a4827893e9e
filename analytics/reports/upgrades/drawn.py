"""The simulation's draws once more, part by part: same seed, same numbers."""

from dataclasses import dataclass

import numpy as np

from analytics.life.arrays import FloatArray
from analytics.money.discounting import discount_factor, discount_factors
from analytics.money.quantities import draws
from analytics.money.upgrade_inputs import CHANGES, QUANTITIES, UpgradeInputs
from analytics.money.upgrade_reckoning import Reckoning, reckon
from analytics.money.upgrade_simulation import RUNS, SEED


@dataclass(frozen=True, slots=True, eq=False)
class Drawn:
    """What `UpgradeSimulation` does not keep; arrays of shape (runs,)."""

    reckoning: Reckoning
    changes: dict[str, FloatArray]
    cost_before: FloatArray

    @property
    def failures_before(self) -> FloatArray:
        return self.reckoning.failures_before

    @property
    def failures_avoided(self) -> FloatArray:
        return self.reckoning.failures_avoided

    @property
    def repair(self) -> FloatArray:
        return self.reckoning.repair

    @property
    def lost_production(self) -> FloatArray:
        return self.reckoning.lost_production

    @property
    def environment(self) -> FloatArray:
        return self.reckoning.environment

    @property
    def cash_flows(self) -> FloatArray:
        return self.reckoning.cash_flows

    @property
    def cost_after(self) -> FloatArray:
        """The net present value is what lies between the two."""
        return self.cost_before - self.reckoning.net_present_value

    @property
    def savings_to_investment(self) -> FloatArray:
        spent = -self.reckoning.cash_flows[:, 0]
        return 1.0 + self.reckoning.net_present_value / spent


def drawn_of(inputs: UpgradeInputs) -> Drawn:
    """Draw as `simulate` does."""
    generator = np.random.default_rng(SEED)
    values = {
        name: draws(getattr(inputs, name), RUNS, generator) for name in QUANTITIES
    }
    running = inputs.running
    a_year = float(running.energy) + float(running.operation)
    a_year += float(running.planned_maintenance)
    money = values["repair_cost"] + values["lost_production"]
    money = money + values["environment_cost"]
    failing = inputs.positions * values["failures_per_year"] * money
    years, rate = inputs.horizon_years, inputs.discount_rate
    worth = float(discount_factors(rate, years, inputs.timing).sum())
    disposal = float(running.disposal) * discount_factor(rate, years)
    return Drawn(
        reckon(values, inputs),
        {name: values[name] for name in CHANGES},
        (failing + a_year) * worth + disposal,
    )
