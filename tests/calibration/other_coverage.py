"""Coverage of the intervals that are not Weibull: counts, growth, curves."""

import numpy as np

from analytics.life.data import LifeData
from analytics.life.mtbf import mtbf_interval
from analytics.life.recurrence import mean_cumulative_function, power_law_fit
from analytics.life.survival import kaplan_meier
from tests.calibration.shares import covered_shares

CONFIDENCE = 0.90


def mtbf_coverage(expected, runs, seed):
    """Exposure one, so that the true mean time is one over the count expected."""
    counts = np.random.default_rng(seed).poisson(expected, runs)
    limits = {n: mtbf_interval(1.0, int(n)).interval for n in np.unique(counts)}
    low = np.array([limits[n].low for n in counts])
    high = np.array([limits[n].high for n in counts])
    return covered_shares(low, high, 1.0 / expected), 0.0


def power_law_coverage(expected, runs, seed, shape=1.5):
    """Shape and present MTBF of one system watched to age one."""
    generator = np.random.default_rng(seed)
    rows, refused = [], 0
    for count in generator.poisson(expected, runs):
        if count < 3:
            refused += 1
            continue
        events = generator.uniform(size=count) ** (1.0 / shape)
        fit = power_law_fit(events, 1.0)
        rows.append((*_ends(fit.shape_interval), *_ends(fit.mtbf_interval)))
    low, high, mtbf_low, mtbf_high = np.array(rows).T
    return (
        covered_shares(low, high, shape),
        covered_shares(mtbf_low, mtbf_high, 1.0 / (expected * shape)),
        refused / runs,
    )


def kaplan_meier_coverage(lives, runs, seed):
    """Limits at the median age, a third of the lives cut at random before."""
    generator = np.random.default_rng(seed)
    age, low, high, refused = np.log(2.0), [], [], 0
    for _ in range(runs):
        ends, cuts = generator.exponential(size=(2, lives))
        cuts *= 2.0
        if not (ends <= cuts).any():
            refused += 1
            continue
        curve = kaplan_meier(LifeData(np.minimum(ends, cuts), ends <= cuts))
        place = int(np.searchsorted(curve.time, age, side="right")) - 1
        if place < 0:
            refused += 1
            continue
        low.append(curve.lower[place])
        high.append(curve.upper[place])
    return covered_shares(np.array(low), np.array(high), 0.5), refused / runs


def mean_curve_coverage(units, runs, seed):
    """Limits at the end for units whose rates differ three to one."""
    generator = np.random.default_rng(seed)
    low, high, refused = [], [], 0
    for _ in range(runs):
        rates = np.where(generator.uniform(size=units) < 0.5, 0.5, 1.5)
        counts = generator.poisson(4.0 * rates)
        if not counts.any():
            refused += 1
            continue
        histories = [(generator.uniform(0, 4.0, count), 4.0) for count in counts]
        curve = mean_cumulative_function(histories)
        low.append(curve.lower[-1])
        high.append(curve.upper[-1])
    return covered_shares(np.array(low), np.array(high), 4.0), refused / runs


def _ends(interval):
    return interval.low, interval.high
