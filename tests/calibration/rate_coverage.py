"""Coverage of intervals of pooled rates and of the ratio of two rates."""

import numpy as np

from analytics.life.compare import rate_ratio
from analytics.life.pooling import gamma_poisson_pool
from analytics.reports.bad_actors.rule import posterior_rates
from tests.calibration.shares import covered_shares


def pool_coverage(units, alpha, expected, runs, seed):
    """Posterior intervals against each unit's own rate, all units together."""
    generator = np.random.default_rng(seed)
    low, high, truth, homogeneous, warned = [], [], [], 0, 0
    for _ in range(runs):
        times = generator.uniform(0.5, 1.5, units)
        rates = generator.gamma(alpha, expected / alpha, units)
        pool = gamma_poisson_pool(generator.poisson(rates * times), times)
        homogeneous += pool.homogeneous
        warned += bool(pool.warnings)
        low.append(pool.posterior_interval[:, 0])
        high.append(pool.posterior_interval[:, 1])
        truth.append(rates)
    shares = covered_shares(*(np.concatenate(part) for part in (low, high, truth)))
    return shares, homogeneous / runs, warned / runs


def shown_rate_coverage(units, spread, expected, runs, seed):
    """Limits of each unit's rate on Bad actors, of groups read as without spread.

    Averaged over the spreads that their counts leave possible. Also the share of
    groups that were read so.
    """
    generator = np.random.default_rng(seed)
    low, high, truth = [], [], []
    times = np.ones(units)
    for _ in range(runs):
        rates = np.full(units, float(expected))
        if spread:
            rates = rates * generator.gamma(spread**-2.0, spread**2.0, units)
        events = generator.poisson(rates)
        if not gamma_poisson_pool(events, times).homogeneous:
            continue
        _, least, most = posterior_rates(events, times, 0.90)
        low.append(least)
        high.append(most)
        truth.append(rates)
    shares = covered_shares(*(np.concatenate(part) for part in (low, high, truth)))
    return shares, len(truth) / runs


def rate_ratio_coverage(expected_a, expected_b, runs, seed):
    """Two counts over equal exposures; equal pairs share their limits."""
    generator = np.random.default_rng(seed)
    pairs = np.stack(
        [generator.poisson(expected_a, runs), generator.poisson(expected_b, runs)]
    )
    kinds, place = np.unique(pairs, axis=1, return_inverse=True)
    limits = [rate_ratio(int(a), 1.0, int(b), 1.0).interval for a, b in kinds.T]
    low = np.array([one.low for one in limits])[place.ravel()]
    high = np.array([one.high for one in limits])[place.ravel()]
    return covered_shares(low, high, expected_a / expected_b)
