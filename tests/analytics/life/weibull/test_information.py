import numpy as np
import pytest

from analytics.life.data import LifeData
from analytics.life.weibull import log_likelihood, weibull_fit
from analytics.life.weibull.information import weibull_information
from tests.analytics.life.samples import drawn


def test_information_is_minus_the_second_derivative():
    lives = drawn(14, 40, cut=1300.0, late=0.4)
    fit = weibull_fit(lives)
    step, place = 1e-4, np.log([fit.shape, fit.scale])

    def height(u, v):
        return log_likelihood(lives, *np.exp(place + [u, v]))

    naive = -np.array(
        [
            [
                height(step, 0) - 2 * height(0, 0) + height(-step, 0),
                (
                    height(step, step)
                    - height(step, -step)
                    - height(-step, step)
                    + height(-step, -step)
                )
                / 4,
            ],
            [0, height(0, step) - 2 * height(0, 0) + height(0, -step)],
        ]
    )
    naive[1, 0] = naive[0, 1]
    naive /= step**2
    found = np.linalg.inv(weibull_information(lives, fit.shape, fit.scale).model)
    assert found.ravel() == pytest.approx(naive.ravel(), rel=1e-4)


def test_one_life_for_each_position_needs_no_sandwich():
    lives = LifeData([1, 2, 3, 4], [1] * 4, groups=list("abcd"))
    assert weibull_information(lives, 1.0, 2.0).robust is None


def test_a_copied_sample_counts_once_for_each_position():
    """Each life twice under one label: the sandwich undoes the doubling."""
    lives = drawn(15, 60)
    doubled = LifeData(
        np.tile(lives.ages, 2),
        np.tile(lives.failed, 2),
        groups=list(range(60)) * 2,
    )
    fit = weibull_fit(doubled)
    information = weibull_information(doubled, fit.shape, fit.scale)
    for gradient in np.eye(2):
        assert 1.4 < information.inflation(gradient) < 3.0


def test_covariance_is_in_units_of_shape_and_scale():
    fit = weibull_fit(drawn(16, 200))
    logs = fit.covariance / np.outer([fit.shape, fit.scale], [fit.shape, fit.scale])
    assert np.sqrt(np.diag(logs)) == pytest.approx([0.0551, 0.0706], rel=0.35)
