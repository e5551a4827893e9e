import numpy as np
import pytest

from analytics.life.errors import InvalidSample
from analytics.life.pooling import gamma_poisson_pool
from analytics.life.two_groups import two_group_pool


def planted(seed, ratio=6.0, bad=8, n=160, mean=2.0):
    generator = np.random.default_rng(seed)
    rates = np.full(n, mean)
    rates[:bad] *= ratio
    return generator.poisson(rates), np.ones(n)


def test_planted_bad_units_are_found():
    counts, times = planted(1)
    pool = two_group_pool(counts, times)
    assert pool.ratio == pytest.approx(6.0, rel=0.3)
    assert pool.share == pytest.approx(8 / 160, rel=0.6)
    assert pool.ordinary_mean == pytest.approx(2.0, rel=0.15)
    assert pool.membership[:8].min() > 0.7
    assert (pool.membership[8:] > 0.5).mean() < 0.03


def test_two_groups_find_what_one_gamma_hides():
    counts, times = planted(2, ratio=4.0)
    double = two_group_pool(counts, times).prob_exceeds(2.0)[:8]
    single = gamma_poisson_pool(counts, times).prob_exceeds(2.0)[:8]
    assert double.sum() > single.sum()


def test_likelihood_is_not_below_that_of_one_gamma_when_groups_exist():
    pool = two_group_pool(*planted(3))
    assert pool.log_likelihood > pool.log_likelihood_single + 5.0


def test_equal_units_are_not_called_bad():
    generator = np.random.default_rng(4)
    pool = two_group_pool(generator.poisson(2.0, 160), np.ones(160))
    assert (pool.prob_exceeds(2.0) > 0.95).sum() == 0


def test_refusals():
    with pytest.raises(InvalidSample, match="at least three units and one event"):
        two_group_pool([1, 2], [1.0, 1.0])
    with pytest.raises(InvalidSample, match="at least three units and one event"):
        two_group_pool([0, 0, 0], [1.0] * 3)
    with pytest.raises(InvalidSample, match="multiple"):
        two_group_pool([1, 2, 3], [1.0] * 3).prob_exceeds(np.nan)
