"""The sums of an upgrade case, for many sets of inputs at once."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from analytics.life.arrays import FloatArray
from analytics.money.discounting import flow_weights
from analytics.money.payback import MONTHS_PER_YEAR, payback_each
from analytics.money.upgrade_inputs import CHANGES, QUANTITIES, UpgradeInputs


@dataclass(frozen=True, slots=True, eq=False)
class Reckoning:
    """Outcome of each of n sets of inputs.

    Parameters
    ----------
    failures_before, failures_avoided : ndarray, shape (n,)
        Per year, all positions together, once the change works.
    repair, lost_production, environment : ndarray, shape (n,)
        Money saved per year.
    running : ndarray, shape (n,)
        Energy, water and barrier fluid saved per year; negative if added.
    saving : ndarray, shape (n,)
        Sum of the four.
    working : ndarray, shape (n, years)
        Share of each year in which the change works.
    cash_flows : ndarray, shape (n, years + 1)
        Today's money first.
    net_present_value : ndarray, shape (n,)
    simple_payback, discounted_payback : ndarray, shape (n,)
        Years from today; infinite if not within the horizon.
    """

    failures_before: FloatArray
    failures_avoided: FloatArray
    repair: FloatArray
    lost_production: FloatArray
    environment: FloatArray
    running: FloatArray
    saving: FloatArray
    working: FloatArray
    cash_flows: FloatArray
    net_present_value: FloatArray
    simple_payback: FloatArray
    discounted_payback: FloatArray


def mean_values(inputs: UpgradeInputs, sets: int = 1) -> dict[str, FloatArray]:
    """Return the mean of every quantity, repeated for n sets.

    The most likely values would not do: those of skewed inputs together may lie
    outside the limits of the outcome. As the inputs are independent, the outcome at
    their means is the mean of the outcomes, but for an uncertain lead time, whose
    part of a year is not quite in proportion.
    """
    return {name: np.full(sets, getattr(inputs, name).mean) for name in QUANTITIES}


def reckon(values: Mapping[str, FloatArray], inputs: UpgradeInputs) -> Reckoning:
    """Reckon the case for each set of values.

    Parameters
    ----------
    values : mapping of str to ndarray, shape (n,)
        A value of every quantity in `QUANTITIES` for each set.
    inputs : UpgradeInputs
        Gives positions, horizon, rate and convention.

    Returns
    -------
    Reckoning
    """
    before = inputs.positions * values["failures_per_year"]
    avoided = before * (1.0 - values["failure_ratio"])
    repair = avoided * values["repair_cost"]
    lost = avoided * values["lost_production"]
    environment = avoided * values["environment_cost"]
    running = -sum((values[name] for name in CHANGES), np.zeros(before.size))
    saving = repair + lost + environment + running
    lead = values["lead_months"] / MONTHS_PER_YEAR
    year = np.arange(1.0, inputs.horizon_years + 1.0)
    working = np.clip(year - lead[:, None], 0.0, 1.0)
    spent = values["purchase"] + values["installation"]
    flows = np.column_stack([-spent, saving[:, None] * working])
    rate, timing = inputs.discount_rate, inputs.timing
    return Reckoning(
        failures_before=before,
        failures_avoided=avoided,
        repair=repair,
        lost_production=lost,
        environment=environment,
        running=running,
        saving=saving,
        working=working,
        cash_flows=flows,
        net_present_value=flows @ flow_weights(rate, inputs.horizon_years, timing),
        simple_payback=payback_each(flows, lead_years=lead),
        discounted_payback=payback_each(flows, rate, timing, lead_years=lead),
    )
