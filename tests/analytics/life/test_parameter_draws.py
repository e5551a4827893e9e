import numpy as np
import pytest

from analytics.life.data import LifeData
from analytics.life.errors import TooFewFailures
from analytics.life.parameter_draws import parameter_draws
from analytics.life.weibull import weibull_fit, weibull_fit_fixed_shape
from tests.analytics.life.samples import drawn


def test_draws_follow_the_covariance():
    fit = weibull_fit(drawn(3, 300))
    shapes, scales = parameter_draws(fit, 40_000, np.random.default_rng(1))
    found = np.cov(np.stack([shapes / fit.shape, scales / fit.scale]))
    expected = fit.covariance / np.outer([fit.shape, fit.scale], [fit.shape, fit.scale])
    assert found == pytest.approx(expected, rel=0.06, abs=2e-4)


def test_known_shapes_stay_and_scales_match_the_limits():
    fit = weibull_fit_fixed_shape(LifeData([5, 6, 7, 9, 9], [1, 1, 1, 1, 0]), 2.0)
    shapes, scales = parameter_draws(fit, 40_000, np.random.default_rng(1))
    assert (shapes == 2.0).all()
    low, high = np.quantile(scales, [0.05, 0.95])
    assert low == pytest.approx(fit.scale_interval.low, rel=0.1)
    assert high == pytest.approx(fit.scale_interval.high, rel=0.1)


def test_without_failures_there_is_nothing_to_draw():
    fit = weibull_fit_fixed_shape(LifeData([5.0], [0]), 2.0)
    with pytest.raises(TooFewFailures, match="no estimate"):
        parameter_draws(fit, 10, np.random.default_rng(1))
