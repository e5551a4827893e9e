import numpy as np
import pytest
from scipy import stats

from analytics.judging import pools
from analytics.judging.pools import possible_pools


def counts_of(size, rate, worse=(), seed=4):
    rates = np.full(size, float(rate))
    rates[: len(worse)] *= worse
    return np.random.default_rng(seed).poisson(rates).astype(float)


def log_chance(counts, times, alpha, mean):
    """Of counts in one gamma pool, by scipy's negative binomial."""
    return stats.nbinom.logpmf(counts, alpha, alpha / (alpha + mean * times))


def test_the_grid_is_the_integral_over_mean_spread_share_and_times_worse():
    counts, times = counts_of(12, 2.0, worse=[6.0]), np.full(12, 1.0)
    spread_chances = pools._spread_chances()
    assert spread_chances.sum() == pytest.approx(1.0)
    groups = [(0.5, 0.0, 1.0)] + [
        (0.5 / 12, share, ratio)
        for share in pools.SHARES
        for ratio in pools.TIMES_WORSE
    ]
    none = total = mean_sum = 0.0
    for spread, chance in zip(pools.SPREADS, spread_chances, strict=True):
        for prior, share, ratio in groups:
            for mean in np.geomspace(0.2, 12.0, 50):
                usual = np.exp(log_chance(counts, times, spread**-2.0, mean))
                worse = np.exp(
                    log_chance(counts, times, pools.WORSE_ALPHA, ratio * mean)
                )
                weight = chance * prior * np.prod((1 - share) * usual + share * worse)
                total += weight
                none += weight * (share == 0.0)
                mean_sum += weight * mean
    found = possible_pools(counts, times)
    assert found.weights.sum() == pytest.approx(1.0)
    own = found.weights[found.shares == 0.0].sum()
    assert own == pytest.approx(none / total, abs=0.02)
    assert found.weights @ found.means == pytest.approx(mean_sum / total, rel=0.02)


def test_the_unit_of_time_does_not_matter():
    counts, times = counts_of(40, 1.5, worse=[8.0]), np.linspace(0.5, 1.5, 40)
    years, days = possible_pools(counts, times), possible_pools(counts, times * 365)
    assert days.weights == pytest.approx(years.weights)
    assert days.means * 365 == pytest.approx(years.means)
    assert days.worse_means * 365 == pytest.approx(years.worse_means)


def test_equal_units_are_taken_for_equal_and_none_for_worse():
    counts = counts_of(160, 1.8)
    found = possible_pools(counts, np.full(160, 3.0))
    assert found.weights[found.shares == 0.0].sum() > 0.75
    assert found.weights @ found.means == pytest.approx(counts.mean() / 3.0, rel=0.02)
    assert found.weights @ found.alphas**-0.5 < 0.2


def test_two_far_out_of_many_are_worse_and_do_not_stretch_the_others():
    counts = counts_of(160, 1.8)
    counts[:2] = 17.0
    found = possible_pools(counts, np.full(160, 3.0))
    assert found.weights[found.shares == 0.0].sum() < 1e-6
    assert found.weights @ found.alphas**-0.5 < 0.2
    assert found.weights @ found.means == pytest.approx(counts[2:].mean() / 3, rel=0.05)
    one = possible_pools(counts, np.full(160, 3.0), some_worse=False)
    assert not one.shares.any()
    assert one.weights @ one.alphas**-0.5 > 0.4


@pytest.mark.parametrize(
    "counts",
    [[0, 0], [1, 1], [0, 400], [3000, 1], [0] * 160, [2] * 160, [0] * 159 + [1]],
)
def test_few_or_equal_units_give_finite_pools(counts):
    found = possible_pools(np.array(counts, dtype=float), np.full(len(counts), 2.0))
    for column in (found.weights, found.means, found.worse_means):
        assert np.isfinite(column).all()
        assert (column > 0).all()
    # Nought events leave the mean open; the others hold it near the counts.
    if sum(counts):
        assert found.weights @ found.means < 2 * max(counts) / 2.0
