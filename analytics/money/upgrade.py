"""An upgrade case: what a change saves, costs and pays back, with its range."""

from dataclasses import dataclass

import numpy as np

from analytics.life.arrays import FloatArray
from analytics.money.discounting import savings_to_investment
from analytics.money.errors import MoneyError
from analytics.money.internal_rate import internal_rate
from analytics.money.life_cycle_cost import (
    Element,
    ElementCost,
    LifeCycleCost,
    life_cycle_cost,
)
from analytics.money.payback import (
    MONTHS_PER_YEAR,
    Payback,
    discounted_payback,
    simple_payback,
)
from analytics.money.upgrade_inputs import RunningCosts, UpgradeInputs
from analytics.money.upgrade_reckoning import Reckoning, mean_values, reckon
from analytics.money.upgrade_simulation import (
    RUNS,
    TornadoBar,
    UpgradeSimulation,
    simulate,
    tornado,
)

__all__ = [
    "RunningCosts",
    "TornadoBar",
    "UpgradeInputs",
    "UpgradeResult",
    "UpgradeSimulation",
    "YearlySaving",
    "upgrade_case",
]


@dataclass(frozen=True, slots=True)
class YearlySaving:
    """Money saved per year once the change works; negative where it costs.

    Parameters
    ----------
    repair, lost_production, environment : float
        From failures avoided; never one sum in the records, so apart here.
    energy, water, barrier_fluid : float
        Running cost saved.
    """

    repair: float
    lost_production: float
    environment: float
    energy: float
    water: float
    barrier_fluid: float

    @property
    def total(self) -> float:
        """All together."""
        failures = self.repair + self.lost_production + self.environment
        return failures + self.energy + self.water + self.barrier_fluid


@dataclass(frozen=True, slots=True, eq=False)
class UpgradeResult:
    """Outcome of an upgrade case at the means of its inputs, and its range.

    Parameters
    ----------
    inputs : UpgradeInputs
        As given.
    investment : float
        Purchase and installation.
    failures_before, failures_after : float
        Per year, all positions together.
    saving : YearlySaving
        Money per year.
    cash_flows : ndarray, shape (years + 1,)
        Today's money first.
    simple_payback, discounted_payback : Payback
        From today, lead time included; the second takes the discounted
        saving of a year as spread evenly over it.
    net_present_value : float
        Over the horizon.
    internal_rate : float or None
        Per year; None where there is none.
    internal_rate_reason : str or None
        Sentence that says why none.
    savings_to_investment : float or None
        Worth today of the saving per unit spent; None if nothing is spent.
    cost_before, cost_after : LifeCycleCost
        Over the horizon; their difference is the net present value.
    simulation : UpgradeSimulation
        Range under all uncertain inputs together.
    tornado : tuple of TornadoBar
        Effect of each alone, largest first.
    """

    inputs: UpgradeInputs
    investment: float
    failures_before: float
    failures_after: float
    saving: YearlySaving
    cash_flows: FloatArray
    simple_payback: Payback
    discounted_payback: Payback
    net_present_value: float
    internal_rate: float | None
    internal_rate_reason: str | None
    savings_to_investment: float | None
    cost_before: LifeCycleCost
    cost_after: LifeCycleCost
    simulation: UpgradeSimulation
    tornado: tuple[TornadoBar, ...]


def upgrade_case(
    inputs: UpgradeInputs, confidence: float = 0.90, runs: int = RUNS
) -> UpgradeResult:
    """Reckon an upgrade case.

    Parameters
    ----------
    inputs : UpgradeInputs
        The case.
    confidence : float, default 0.90
        Of the intervals of the simulation.
    runs : int, default 20,000
        Draws of the simulation.

    Returns
    -------
    UpgradeResult

    Raises
    ------
    InvalidFigure
        If a setting is out of range.

    Notes
    -----
    Saving a year = positions x failures per year x (1 - ratio) x (repair +
    lost production + environment) less what energy, water and barrier fluid
    add. Nothing is saved before the lead time is over, and a year in which
    it ends counts by its part.
    """
    mean = reckon(mean_values(inputs), inputs)
    flows = mean.cash_flows[0]
    lead = inputs.lead_months.mean / MONTHS_PER_YEAR
    rate, timing = inputs.discount_rate, inputs.timing
    found, reason = _internal_rate(flows, inputs)
    before, avoided = float(mean.failures_before[0]), float(mean.failures_avoided[0])
    return UpgradeResult(
        inputs=inputs,
        investment=-float(flows[0]),
        failures_before=before,
        failures_after=before - avoided,
        saving=_saving(mean, inputs),
        cash_flows=flows,
        simple_payback=simple_payback(flows, lead),
        discounted_payback=discounted_payback(flows, rate, timing, lead_years=lead),
        net_present_value=float(mean.net_present_value[0]),
        internal_rate=found,
        internal_rate_reason=reason,
        savings_to_investment=(
            savings_to_investment(flows, rate, timing) if flows[0] < 0.0 else None
        ),
        cost_before=_cost(inputs, mean, after=False),
        cost_after=_cost(inputs, mean, after=True),
        simulation=simulate(inputs, confidence, runs),
        tornado=tornado(inputs),
    )


def _internal_rate(
    flows: FloatArray, inputs: UpgradeInputs
) -> tuple[float | None, str | None]:
    try:
        return internal_rate(flows, inputs.timing), None
    except MoneyError as refusal:
        return None, str(refusal)


def _saving(mean: Reckoning, inputs: UpgradeInputs) -> YearlySaving:
    return YearlySaving(
        repair=float(mean.repair[0]),
        lost_production=float(mean.lost_production[0]),
        environment=float(mean.environment[0]),
        energy=0.0 - inputs.energy_change.mean,
        water=0.0 - inputs.water_change.mean,
        barrier_fluid=0.0 - inputs.barrier_fluid_change.mean,
    )


def _cost(inputs: UpgradeInputs, mean: Reckoning, *, after: bool) -> LifeCycleCost:
    """Return the life-cycle cost without or with the change."""
    works = mean.working[0] if after else np.zeros(inputs.horizon_years)
    failures = mean.failures_before[0] - works * mean.failures_avoided[0]
    running = inputs.running
    energy = float(running.energy) + works * inputs.energy_change.mean
    fluids = inputs.water_change.mean + inputs.barrier_fluid_change.mean
    repairs = failures * inputs.repair_cost.mean
    costs = [
        ElementCost(Element.ENERGY, yearly=energy),
        ElementCost(
            Element.OPERATION, yearly=float(running.operation) + works * fluids
        ),
        ElementCost(
            Element.MAINTENANCE, yearly=repairs + float(running.planned_maintenance)
        ),
        ElementCost(Element.DOWNTIME, yearly=failures * inputs.lost_production.mean),
        ElementCost(
            Element.ENVIRONMENT, yearly=failures * inputs.environment_cost.mean
        ),
        ElementCost(Element.DISPOSAL, at_end=running.disposal),
    ]
    if after:
        costs += [
            ElementCost(Element.PURCHASE, inputs.purchase.mean),
            ElementCost(Element.INSTALLATION, inputs.installation.mean),
        ]
    return life_cycle_cost(
        costs, inputs.horizon_years, inputs.discount_rate, inputs.timing
    )
