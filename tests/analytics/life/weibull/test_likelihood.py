import numpy as np
import pytest
from scipy import stats

from analytics.life.data import LifeData
from analytics.life.errors import InvalidSample
from analytics.life.weibull import log_likelihood
from analytics.life.weibull.likelihood import life_sums
from tests.analytics.life.samples import drawn


def test_likelihood_is_density_over_survival_to_entry():
    lives = drawn(3, 25, cut=1200.0, late=0.5)
    life = stats.weibull_min(1.7, scale=900.0)
    naive = np.where(
        lives.failed, life.logpdf(lives.ages), life.logsf(lives.ages)
    ) - life.logsf(lives.entries)
    assert log_likelihood(lives, 1.7, 900.0) == pytest.approx(naive.sum(), rel=1e-12)


@pytest.mark.parametrize(("shape", "scale"), [(0.0, 1.0), (1.0, -1.0), (np.nan, 1.0)])
def test_parameters_out_of_range_are_refused(shape, scale):
    with pytest.raises(InvalidSample, match="must be above zero"):
        log_likelihood(LifeData([1.0], [True]), shape, scale)


def test_sums_match_a_plain_loop():
    samples = [drawn(i, 9, late=0.5) for i in range(3)]
    sums = life_sums(samples)
    shape = np.array([0.7, 1.5, 3.0])
    expected = [
        (sample.ages**k - sample.entries**k).sum() / sample.ages.max() ** k
        for sample, k in zip(samples, shape, strict=True)
    ]
    assert sums.powers(shape) == pytest.approx(expected, rel=1e-12)
    assert np.exp(sums.powers_with_slopes(shape)[0]) == pytest.approx(expected)


def test_slopes_match_differences():
    sums, step = life_sums([drawn(1, 30, late=0.4)]), 1e-5
    shape = np.array([1.3])
    _, first, second = sums.powers_with_slopes(shape)
    up, down = (sums.powers_with_slopes(shape + d) for d in (step, -step))
    assert first == pytest.approx((up[0] - down[0]) / (2 * step), rel=1e-7)
    assert second == pytest.approx((up[1] - down[1]) / (2 * step), rel=1e-7)
