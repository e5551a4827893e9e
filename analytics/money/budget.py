"""Failures, parts and money to expect over the months ahead, with their range."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

import numpy as np

from analytics.life.arrays import FloatArray, IntArray
from analytics.life.results import Interval
from analytics.money.errors import InvalidFigure
from analytics.money.figures import above_zero, checked_share, zero_or_more
from analytics.money.quantities import Fixed, Quantity, draws
from analytics.money.upgrade_simulation import drawn_interval

RUNS = 2_000
SEED = 20230911
PRIOR_EVENTS = 0.5
NOTHING = Fixed(0.0)


@dataclass(frozen=True, slots=True, eq=False)
class Demand:
    """Events of one kind to come, by group, each perhaps with a part to buy.

    Parameters
    ----------
    part : str
        What each event takes from the store; empty if nothing.
    expected : ndarray, shape (groups,)
        Mean number.
    drawn : ndarray, shape (groups, runs)
        Simulated numbers, one column a run.
    fails : bool
        Whether the events are failures; what is renewed with other work is none.
    unit_cost : Quantity
        Mean money per event, as far as it is known.
    spread : float
        Standard deviation of the money of one event over its mean.
    """

    part: str
    expected: FloatArray
    drawn: FloatArray | IntArray = field(repr=False)
    fails: bool = True
    unit_cost: Quantity = NOTHING
    spread: float = 0.0


@dataclass(frozen=True, slots=True, eq=False)
class BudgetLine:
    """What some demands come to in one group, or in all together.

    Parameters
    ----------
    failures : float
        Expected number of failures.
    failures_interval : Interval
        Prediction limits.
    parts : float
        Expected number of parts that go, failed and renewed ones.
    to_buy : int
        Smallest number that covers them at the service level.
    cost : float
        Expected money.
    cost_interval : Interval
        Prediction limits.
    """

    failures: float
    failures_interval: Interval
    parts: float
    to_buy: int
    cost: float
    cost_interval: Interval


def events_at_a_rate(
    events: Sequence[int],
    years: float,
    horizon_years: float,
    runs: int = RUNS,
    *,
    usual: Sequence[float] | None = None,
    seed: int = SEED,
) -> tuple[FloatArray, FloatArray]:
    """Forecast events that come at a constant rate, group by group.

    Parameters
    ----------
    events : sequence of int, shape (groups,)
        Seen in each group.
    years : float
        Over which they were seen, above zero.
    horizon_years : float
        Ahead, above zero.
    runs : int
        Simulations.
    usual : sequence of float, shape (groups,), optional
        Events that as many parts as each group has would show in that time at the
        rate common to all groups; zero where nothing stands that could.
    seed : int
        Another one for every kind of event that is added to others.

    Returns
    -------
    ndarray, shape (groups,); ndarray, shape (groups, runs)
        Expected and simulated numbers.

    Raises
    ------
    InvalidFigure
        If a time is not above zero or a number is negative.

    Notes
    -----
    The rate is drawn from the gamma distribution that the count leaves, then the
    number from the Poisson distribution of that rate: prediction limits hold doubt
    and chance. The prior is that of Jeffreys, half an event in no time; with `usual`
    half an event in the time that takes at the common rate, as half events out of
    nothing would add up over hundreds of small groups.
    """
    seen, ahead = above_zero(years, "years seen"), above_zero(horizon_years, "horizon")
    counts = np.array([zero_or_more(count, "number of events") for count in events])
    common = np.full(counts.size, np.inf)
    if usual is not None:
        common = np.array([zero_or_more(one, "usual number") for one in usual])
    drawn = np.zeros((counts.size, runs))
    can = (common > 0) | (counts > 0)
    # A group that had events and holds nothing now has no usual number.
    common = np.where(common > 0, common, np.inf)[can, None]
    generator = np.random.default_rng(seed)
    scale = 1.0 / (seen + PRIOR_EVENTS * seen / common)
    shape = counts[can, None] + PRIOR_EVENTS
    rates = generator.gamma(shape, scale, (int(can.sum()), runs))
    drawn[can] = generator.poisson(rates * ahead)
    return counts * ahead / seen, drawn


class Budget:
    """Demands with their money, drawn once, so that any sum of them agrees."""

    def __init__(
        self,
        demands: Sequence[Demand],
        confidence: float = 0.90,
        service_level: float = 0.90,
    ) -> None:
        """Draw the money of every demand.

        Parameters
        ----------
        demands : sequence of Demand
            All with the same groups and runs, costs in one currency.
        confidence : float, default 0.90
            Of the prediction limits, equal-tailed.
        service_level : float, default 0.90
            Chance that the parts to buy are enough.

        Raises
        ------
        InvalidFigure
            If a setting is out of range, the demands do not fit each other, a
            unit cost may be negative or there is no demand.

        Notes
        -----
        Demands are taken as independent of each other. The mean money per event
        is drawn once a run; the sum of a number of events varies about it as a
        gamma of their spread. The seed is fixed.
        """
        self.confidence = checked_share(confidence)
        self.service_level = checked_share(service_level, "service level")
        if not demands:
            raise InvalidFigure("There is no part in service to budget for.")
        if len({demand.drawn.shape for demand in demands}) > 1:
            raise InvalidFigure("All demands must have the same groups and runs.")
        generator = np.random.default_rng(SEED)
        self.demands = tuple(demands)
        self._money = [_money(demand, generator) for demand in demands]
        self._by_group: dict[tuple[int, ...], _Added] = {}

    def line(
        self, demands: Iterable[int] | None = None, group: int | None = None
    ) -> BudgetLine:
        """Add up some demands, by their places, in one group or in all.

        Parameters
        ----------
        demands : iterable of int, optional
            Places in the list given; all if left out.
        group : int, optional
            One group; all if left out.
        """
        places = tuple(range(len(self.demands)) if demands is None else demands)
        if group is None:
            added, at = self._add(places, over_all=True), 0
        else:
            # Once for every group: a large plant has hundreds of them.
            if places not in self._by_group:
                self._by_group[places] = self._add(places, over_all=False)
            added, at = self._by_group[places], group
        needed = added.bought_drawn[at]
        return BudgetLine(
            failures=float(added.failing[at]),
            failures_interval=drawn_interval(added.failing_drawn[at], self.confidence),
            parts=float(added.bought[at]),
            to_buy=int(np.quantile(needed, self.service_level, method="inverted_cdf")),
            cost=float(added.cost[at]),
            cost_interval=drawn_interval(added.cost_drawn[at], self.confidence),
        )

    def _add(self, places: Sequence[int], *, over_all: bool) -> "_Added":
        """Add up some demands, a row a group; with `over_all` one row of all."""
        groups, runs = self.demands[0].drawn.shape
        added = _Added.nothing(1 if over_all else groups, runs)
        for place in places:
            demand, money = self.demands[place], self._money[place]
            expected, drawn = demand.expected, demand.drawn
            if over_all:
                expected = expected.sum(keepdims=True)
                drawn = drawn.sum(axis=0, keepdims=True)
                money = money.sum(axis=0, keepdims=True)
            if demand.fails:
                added.failing += expected
                added.failing_drawn += drawn
            if demand.part:
                added.bought += expected
                added.bought_drawn += drawn
            added.cost += expected * demand.unit_cost.best
            added.cost_drawn += money
        return added


@dataclass(slots=True, eq=False)
class _Added:
    """Expected numbers and money, shape (rows,), and drawn ones, shape (rows, runs)."""

    failing: FloatArray
    failing_drawn: FloatArray
    bought: FloatArray
    bought_drawn: FloatArray
    cost: FloatArray
    cost_drawn: FloatArray

    @classmethod
    def nothing(cls, rows: int, runs: int) -> "_Added":
        return cls(
            *(np.zeros(shape) for _ in range(3) for shape in (rows, (rows, runs)))
        )


def _money(demand: Demand, generator: np.random.Generator) -> FloatArray:
    """Money of each group and run; events of one run share the mean that is true."""
    cost = demand.unit_cost
    zero_or_more(min(cost.best, float(cost.quantile(1e-9))), "unit cost")
    events = demand.drawn.astype(np.float64)
    mean = draws(cost, events.shape[1], generator)
    variance = zero_or_more(demand.spread, "spread") ** 2
    if variance == 0.0:
        return events * mean
    # A kind of part stands in few of many groups.
    some = events > 0
    money = np.zeros(events.shape)
    money[some] = generator.gamma(events[some] / variance, variance)
    return money * mean
