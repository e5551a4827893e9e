import numpy as np
import pytest
from scipy import optimize, stats

from analytics.life.errors import InvalidSample
from analytics.life.pooling import (
    fit_prior,
    gamma_poisson_pool,
    marginal_log_likelihood,
    unit_slopes,
)


def drawn_units(seed, n=80, alpha=2.0, mean=1.5):
    generator = np.random.default_rng(seed)
    times = generator.uniform(0.5, 3.0, n)
    return generator.poisson(generator.gamma(alpha, mean / alpha, n) * times), times


@pytest.mark.parametrize("seed", range(4))
def test_maximum_matches_a_general_search(seed):
    counts, times = drawn_units(seed)

    def loss(place):
        alpha, beta = np.exp(place)
        return -stats.nbinom.logpmf(counts, alpha, beta / (beta + times)).sum()

    reference = optimize.minimize(
        loss, [0.5, 0.5], method="Nelder-Mead", options={"xatol": 1e-9, "fatol": 1e-12}
    )
    pool = gamma_poisson_pool(counts, times)
    assert (pool.alpha, pool.beta) == pytest.approx(np.exp(reference.x), rel=1e-5)
    assert pool.log_likelihood == pytest.approx(-reference.fun, abs=1e-9)


def test_posterior_is_gamma():
    counts, times = drawn_units(9)
    pool = gamma_poisson_pool(counts, times, confidence=0.8)
    posterior = stats.gamma(pool.alpha + counts, scale=1 / (pool.beta + times))
    assert pool.posterior_mean == pytest.approx(posterior.mean())
    assert pool.posterior_interval[:, 0] == pytest.approx(posterior.ppf(0.1))
    assert pool.posterior_interval[:, 1] == pytest.approx(posterior.ppf(0.9))
    assert pool.prob_exceeds(2.0) == pytest.approx(posterior.sf(2.0 * pool.pool_mean))


def test_units_are_drawn_towards_the_pool():
    counts, times = drawn_units(3)
    pool = gamma_poisson_pool(counts, times)
    raw = counts / times
    between = (pool.posterior_mean - raw) * (pool.pool_mean - raw)
    assert (between >= 0).all()


def test_equal_units_fall_back_to_the_common_rate():
    pool = gamma_poisson_pool([2, 2, 2, 2], [10.0] * 4)
    assert pool.homogeneous
    assert (pool.alpha, pool.beta) == (None, None)
    assert pool.posterior_mean.tolist() == [0.2] * 4
    low, high = pool.posterior_interval[0]
    assert (low, high) == pytest.approx(
        (stats.chi2.ppf(0.05, 16) / 80, stats.chi2.ppf(0.95, 18) / 80)
    )
    assert pool.prob_exceeds(2.0).tolist() == [0.0] * 4
    assert pool.prob_exceeds(0.5).tolist() == [1.0] * 4


def test_one_unit_and_no_events_do_not_fail():
    assert gamma_poisson_pool([3], [6.0]).posterior_mean.tolist() == [0.5]
    nothing = gamma_poisson_pool([0, 0], [1.0, 2.0])
    assert nothing.posterior_mean.tolist() == [0.0, 0.0]
    assert nothing.posterior_interval[0, 0] == 0.0
    assert nothing.posterior_interval[0, 1] > 0.0


def test_slopes_match_differences():
    counts, times = drawn_units(5, n=6)
    place, step = np.log([1.7, 0.9]), 1e-6

    def heights(u, v):
        alpha, mean = np.exp(place + [u, v])
        return marginal_log_likelihood(counts, times, alpha, mean)

    slopes, bends = unit_slopes(counts, times, place)
    assert slopes[0] == pytest.approx(
        (heights(step, 0) - heights(-step, 0)) / (2 * step), rel=1e-5
    )
    up, down = (unit_slopes(counts, times, place + [0, d])[0] for d in (step, -step))
    assert bends[:, 1].ravel() == pytest.approx(
        ((up - down) / (2 * step)).ravel(), rel=1e-5, abs=1e-9
    )


def test_weights_count_units():
    counts, times = drawn_units(6, n=30)
    doubled = fit_prior(np.tile(counts, 2), np.tile(times, 2), np.ones(60))
    assert fit_prior(counts, times, np.full(30, 2.0)) == pytest.approx(doubled)


@pytest.mark.parametrize(
    ("events", "exposures", "message"),
    [
        ([], [], "There are no event counts"),
        ([1], [1.0, 2.0], "There are 1 event counts but 2 exposures"),
        ([-1, 2], [1.0, 1.0], "Every count must be a whole number"),
        ([1.5, 2], [1.0, 1.0], "Every count must be a whole number"),
        ([1, 2], [0.0, 1.0], "Every exposure must be above zero"),
        ([1, np.nan], [1.0, 1.0], "missing or infinite"),
    ],
)
def test_refusals(events, exposures, message):
    with pytest.raises(InvalidSample, match=message):
        gamma_poisson_pool(events, exposures)


def test_negative_multiple_is_refused():
    with pytest.raises(InvalidSample, match="multiple must be zero or more"):
        gamma_poisson_pool([1, 5], [1.0, 1.0]).prob_exceeds(-1.0)


def test_a_second_peak_of_the_likelihood_is_found():
    """Near equal rates the slope points to no spread, yet a far peak is higher."""
    counts = np.array([0, 6, 144])
    times = np.array([0.29, 0.73, 9.52])
    pool = gamma_poisson_pool(counts, times)
    pooled = counts.sum() / times.sum()
    poisson = stats.poisson.logpmf(counts, pooled * times).sum()
    assert not pool.homogeneous
    assert pool.log_likelihood > poisson + 0.3


def test_a_flat_likelihood_is_read_as_no_spread():
    """The gain of any spread is below a millionth: the pooled rate serves."""
    generator = np.random.default_rng(432)
    units = generator.integers(2, 40)
    times = np.exp(generator.normal(0, 1.2, units))
    rates = generator.gamma(generator.choice([0.5, 2, 10, 100]), size=units)
    counts = generator.poisson(rates * times * generator.choice([0.3, 1, 10]) / 3)
    pool = gamma_poisson_pool(counts, times)
    assert pool.homogeneous
    assert pool.posterior_mean == pytest.approx(counts.sum() / times.sum())


def test_limits_that_take_an_unsure_spread_as_known_carry_a_warning():
    few, many = (gamma_poisson_pool(*drawn_units(3, n)) for n in (10, 400))
    assert any("cover less often than stated" in words for words in few.warnings)
    assert many.warnings == ()
    even = gamma_poisson_pool([2, 2, 2, 2], [10.0] * 4)
    assert any("no spread beyond chance" in words for words in even.warnings)
