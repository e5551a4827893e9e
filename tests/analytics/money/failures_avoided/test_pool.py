import numpy as np
import pytest

from analytics.life.pooling import gamma_poisson_pool
from analytics.money.failures_avoided.pool import pool_rates


def test_a_large_pool_agrees_with_its_best_fit():
    rng = np.random.default_rng(8)
    counts = rng.poisson(5 * rng.gamma(3, 0.2, 400)).astype(float)
    times = np.full(400, 5.0)
    best = gamma_poisson_pool(counts, times)
    found = pool_rates(counts, times)
    assert found.mean == pytest.approx(best.posterior_mean, rel=0.05)
    limits = np.quantile(found.drawn, [0.05, 0.95], axis=0).T
    assert limits == pytest.approx(best.posterior_interval, rel=0.12, abs=0.02)


def test_draws_centre_on_the_means():
    counts, times = np.array([6.0, 0, 1, 2, 1, 0, 3, 1]), np.full(8, 2.0)
    found = pool_rates(counts, times)
    assert found.drawn.mean(axis=0) == pytest.approx(found.mean, rel=0.03)
    assert (found.drawn > 0).all()


def test_each_rate_lies_between_its_own_and_that_of_all():
    counts, times = np.array([9.0, 0, 1, 2, 1, 0, 3, 1]), np.full(8, 2.0)
    own, common = counts / times, counts.sum() / times.sum()
    mean = pool_rates(counts, times).mean
    assert common < mean[0] < own[0]
    assert own[1] < mean[1] < common


def test_a_small_pool_leaves_the_spread_open():
    """Eight units that look alike may still differ; one best fit says they do not."""
    counts, times = np.array([1.0, 2, 1, 2, 1, 1, 2, 1]), np.full(8, 1.0)
    assert gamma_poisson_pool(counts, times).homogeneous
    mean = pool_rates(counts, times).mean
    assert mean[1] > 1.03 * mean[0]
