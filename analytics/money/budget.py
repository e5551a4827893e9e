"""Failures, parts and money to expect over the months ahead, with their range."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np

from analytics.life.arrays import FloatArray
from analytics.life.forecast import FailureForecast
from analytics.life.results import Interval
from analytics.money.errors import InvalidFigure
from analytics.money.figures import checked_share, zero_or_more
from analytics.money.quantities import Fixed, Quantity, draws
from analytics.money.upgrade_simulation import drawn_interval

RUNS = 10_000
SEED = 20230911


@dataclass(frozen=True, slots=True, eq=False)
class Population:
    """Parts in service that are forecast together.

    Parameters
    ----------
    group : str
        What the budget is split by, such as the area.
    part : str
        What is bought for each failure.
    forecast : FailureForecast
        From `expected_failures` over the months of the budget.
    part_cost : Quantity
        Money per part.
    repair_cost : Quantity
        Money per failure beside the part.
    """

    group: str
    part: str
    forecast: FailureForecast
    part_cost: Quantity
    repair_cost: Quantity = Fixed(0.0)


@dataclass(frozen=True, slots=True, eq=False)
class BudgetLine:
    """Failures and money of one group, one part or all together.

    Parameters
    ----------
    name : str
        Group or part; empty for the total.
    failures : float
        Expected number.
    failures_interval : Interval
        Prediction limits.
    to_buy : int
        Smallest number of parts that covers the failures at the service
        level; for a group or the total, of all kinds together.
    cost : float
        Expected money at the best unit costs.
    cost_interval : Interval
        Prediction limits.
    drawn_failures, drawn_cost : ndarray, shape (runs,)
        As simulated.
    """

    name: str
    failures: float
    failures_interval: Interval
    to_buy: int
    cost: float
    cost_interval: Interval
    drawn_failures: FloatArray = field(repr=False)
    drawn_cost: FloatArray = field(repr=False)


@dataclass(frozen=True, slots=True, eq=False)
class Budget:
    """Budget by group and by part, each in the order first given.

    Parameters
    ----------
    groups, parts : tuple of BudgetLine
        Each adds up to the total in failures and cost; limits do not add.
    total : BudgetLine
        All populations.
    """

    groups: tuple[BudgetLine, ...]
    parts: tuple[BudgetLine, ...]
    total: BudgetLine


@dataclass(frozen=True, slots=True, eq=False)
class _Drawn:
    failures: FloatArray
    cost: FloatArray
    expected_cost: float


def budget(
    populations: Sequence[Population],
    confidence: float = 0.90,
    service_level: float = 0.90,
) -> Budget:
    """Add up the forecasts of all populations.

    Parameters
    ----------
    populations : sequence of Population
        Forecast over the same months, costs in one currency.
    confidence : float, default 0.90
        Of the prediction limits, equal-tailed.
    service_level : float, default 0.90
        Chance that the parts to buy are enough.

    Returns
    -------
    Budget

    Raises
    ------
    InvalidFigure
        If a setting is out of range, a unit cost may be negative or there
        is no population.

    Notes
    -----
    Combined by simulation: the simulated numbers of each forecast are drawn
    again, populations independently of each other, and multiplied by one draw
    of the unit costs a run. Populations that fail together, or whose lives were
    fitted from the same records, vary more in sum than this tells. The seed
    is fixed.
    """
    checked_share(confidence)
    checked_share(service_level, "service level")
    if not populations:
        raise InvalidFigure("There is no part in service to budget for.")
    generator = np.random.default_rng(SEED)
    drawn = [_drawn(population, generator) for population in populations]

    def lines(name_of: Callable[[Population], str]) -> tuple[BudgetLine, ...]:
        names = dict.fromkeys(name_of(population) for population in populations)
        return tuple(
            line(name, [name_of(population) == name for population in populations])
            for name in names
        )

    def line(name: str, chosen: Sequence[bool]) -> BudgetLine:
        rows = [row for row, mine in enumerate(chosen) if mine]
        failures = np.sum([drawn[row].failures for row in rows], axis=0)
        cost = np.sum([drawn[row].cost for row in rows], axis=0)
        return BudgetLine(
            name=name,
            failures=sum(populations[row].forecast.expected for row in rows),
            failures_interval=drawn_interval(failures, confidence),
            to_buy=int(np.quantile(failures, service_level, method="inverted_cdf")),
            cost=sum(drawn[row].expected_cost for row in rows),
            cost_interval=drawn_interval(cost, confidence),
            drawn_failures=failures,
            drawn_cost=cost,
        )

    return Budget(
        groups=lines(lambda population: population.group),
        parts=lines(lambda population: population.part),
        total=line("", [True] * len(populations)),
    )


def _drawn(population: Population, generator: np.random.Generator) -> _Drawn:
    """Draw failures and money of one population."""
    forecast = population.forecast
    costs = (population.part_cost, population.repair_cost)
    for cost in costs:
        zero_or_more(min(cost.best, float(cost.quantile(1e-9))), "unit cost")
    # Kept ascending by the forecast, so they are drawn anew, not taken in order.
    failures = generator.choice(forecast.drawn, size=RUNS).astype(np.float64)
    each = draws(costs[0], RUNS, generator) + draws(costs[1], RUNS, generator)
    return _Drawn(
        failures=failures,
        cost=failures * each,
        expected_cost=forecast.expected * (costs[0].best + costs[1].best),
    )
