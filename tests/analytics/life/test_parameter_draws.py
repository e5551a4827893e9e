import numpy as np
import pytest

from analytics.life.data import LifeData
from analytics.life.errors import TooFewFailures
from analytics.life.forecast import expected_failures
from analytics.life.parameter_draws import parameter_draws
from analytics.life.replacement_range import age_replacement_range
from analytics.life.weibull import weibull_fit, weibull_fit_fixed_shape
from tests.analytics.life.samples import complete, drawn


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


def test_draws_from_few_failures_hold_the_truth_as_often_as_stated():
    """Quantiles of the draws are limits: complete samples of five cover 90 %."""
    generator = np.random.default_rng(12)
    ages = generator.weibull(2.0, (400, 5))
    inside = []
    for row in ages:
        fit = weibull_fit(complete(row), intervals="wald_log")
        shapes, scales = parameter_draws(fit, 2000, generator)
        for draws, truth in ((shapes, 2.0), (scales, 1.0)):
            low, high = np.quantile(draws, [0.05, 0.95])
            inside.append(low <= truth <= high)
    assert np.mean(inside) == pytest.approx(0.90, abs=0.035)


def test_lives_that_share_positions_are_drawn_wider():
    lives = drawn(3, 40)
    copies = LifeData(
        np.tile(lives.ages, 2), np.tile(lives.failed, 2), groups=[*range(40)] * 2
    )
    generator = np.random.default_rng(1)
    wide, plain = (
        np.log(parameter_draws(weibull_fit(sample), 20_000, generator)[0]).std()
        for sample in (copies, LifeData(copies.ages, copies.failed))
    )
    assert 1.2 < wide / plain < 2.0


@pytest.mark.parametrize(
    ("failures", "running", "warned"), [(5, 5, True), (10, 5, False), (5, 0, False)]
)
def test_limits_from_few_failures_of_a_cut_sample_are_said_to_be_narrow(
    failures, running, warned
):
    ages = [*range(1, failures + 1), *[failures + 1] * running]
    fit = weibull_fit(LifeData(ages, [True] * failures + [False] * running))
    for found in (
        expected_failures([1.0], fit, 2.0),
        age_replacement_range(fit, 1.0, 5.0),
    ):
        said = any("cover less often than stated" in words for words in found.warnings)
        assert said is warned


def test_a_known_shape_needs_no_such_warning():
    fit = weibull_fit_fixed_shape(LifeData([5, 6, 7], [1, 1, 0]), 2.0)
    assert expected_failures([1.0], fit, 2.0).warnings == ()
