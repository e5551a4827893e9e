"""Coverage for repairable units: several systems, ends by failure, mean curves."""

import numpy as np

from analytics.life.recurrence import (
    History,
    mean_cumulative_function,
    power_law_fit,
)
from tests.calibration.shares import covered_shares

SHAPE = 1.5


def several_systems_coverage(systems, each, truncation, unequal, runs, seed):
    """Shape and present MTBF of systems with `each` events on average.

    With "failure" each system ends at its event number `each`.
    """
    generator = np.random.default_rng(seed)
    ends = np.linspace(1.0, 2.0 if unequal else 1.0, systems)
    rows, truths, refused = [], [], 0
    for _ in range(runs):
        if truncation == "failure":
            gaps = generator.exponential(size=(systems, each)) / each
            lists = [np.cumsum(row) ** (1.0 / SHAPE) for row in gaps]
            fit = power_law_fit(lists, None, "failure")
            last = max(events[-1] for events in lists)
        else:
            counts = generator.poisson(each * ends**SHAPE)
            if counts.sum() < 3:
                refused += 1
                continue
            lists = [
                end * generator.uniform(size=count) ** (1.0 / SHAPE)
                for end, count in zip(ends, counts, strict=True)
            ]
            fit = power_law_fit(lists, ends)
            last = ends[-1]
        shape, mtbf = fit.shape_interval, fit.mtbf_interval
        rows.append((shape.low, shape.high, mtbf.low, mtbf.high))
        truths.append(last ** (1.0 - SHAPE) / (each * SHAPE))
    low, high, mtbf_low, mtbf_high = np.array(rows).T
    return (
        covered_shares(low, high, SHAPE),
        covered_shares(mtbf_low, mtbf_high, np.array(truths)),
        refused / runs,
    )


def staggered_curve_coverage(units, spread, runs, seed):
    """Mean curve at age three for units that enter and leave at random ages.

    Rates are gamma with shape `spread`: one means some units are many times
    worse than others.
    """
    generator = np.random.default_rng(seed)
    low, high, refused, warned = [], [], 0, 0
    for _ in range(runs):
        rates = generator.gamma(spread, 1.0 / spread, units)
        starts = np.where(
            generator.uniform(size=units) < 0.5, 0.0, generator.uniform(0, 2, units)
        )
        ends = generator.uniform(2.5, 4.0, units)
        histories = [
            History(np.sort(generator.uniform(start, end, count)), end, start)
            for start, end, count in zip(
                starts, ends, generator.poisson(rates * (ends - starts)), strict=True
            )
        ]
        if not any((unit.events <= 3.0).any() for unit in histories):
            refused += 1
            continue
        curve = mean_cumulative_function(histories)
        place = int(np.searchsorted(curve.time, 3.0, side="right")) - 1
        low.append(curve.lower[place])
        high.append(curve.upper[place])
        warned += bool(curve.warnings)
    shares = covered_shares(np.array(low), np.array(high), 3.0)
    return shares, refused / runs, warned / len(low)
