import numpy as np
import pytest

from analytics.life.data import LifeData
from analytics.life.errors import InvalidSample, TooFewFailures
from analytics.life.mtbf import mtbf_interval
from analytics.life.weibull import (
    fixed_shape_sensitivity,
    weibull_fit,
    weibull_fit_fixed_shape,
)
from tests.analytics.life.samples import SEAL_AGES, complete, drawn

SUSPENDED = LifeData([3000.0, 4000.0], [False, False])


def test_without_failures_there_is_a_lower_bound_only():
    fit = weibull_fit_fixed_shape(SUSPENDED, 2.0)
    assert fit.scale is None
    assert fit.mean is None
    assert fit.log_likelihood is None
    assert fit.scale_interval.low == pytest.approx(5000.0 / np.sqrt(-np.log(0.05)))
    assert fit.scale_interval.high == np.inf
    assert fit.b_life(10).value is None
    reliability = fit.reliability(1000.0)
    assert (reliability.value, reliability.interval.high) == (None, 1.0)
    with pytest.raises(TooFewFailures, match="Without a failure"):
        fit.conditional_failure(100.0, 100.0)


def test_at_the_fitted_shape_it_gives_the_fitted_scale():
    lives = drawn(2, 30, cut=1200.0, late=0.4)
    free = weibull_fit(lives)
    fixed = weibull_fit_fixed_shape(lives, free.shape)
    assert fixed.scale == pytest.approx(free.scale, rel=1e-9)
    assert fixed.log_likelihood == pytest.approx(free.log_likelihood, rel=1e-12)


def test_shape_one_is_the_constant_rate():
    lives = LifeData([300.0, 400.0, 100.0], [1, 1, 0], [0.0, 50.0, 0.0])
    fit, rate = weibull_fit_fixed_shape(lives, 1.0), mtbf_interval(750.0, 2)
    assert fit.scale == pytest.approx(rate.estimate)
    assert fit.scale_interval.low == pytest.approx(rate.interval.low)
    assert fit.scale_interval.high == pytest.approx(rate.interval.high)


def test_a_complete_sample_counts_as_ended_by_failure():
    fit = weibull_fit_fixed_shape(complete(SEAL_AGES), 4.0)
    by_time = weibull_fit_fixed_shape(complete(SEAL_AGES), 4.0, truncation="time")
    assert fit.truncation == "failure"
    assert by_time.scale_interval.low < fit.scale_interval.low
    assert by_time.scale_interval.high == fit.scale_interval.high


def test_limits_of_complete_samples_cover_exactly():
    generator = np.random.default_rng(8)
    ages = generator.weibull(2.0, (4000, 3))
    fits = [weibull_fit_fixed_shape(complete(row), 2.0) for row in ages]
    covered = np.mean([1.0 in fit.scale_interval for fit in fits])
    assert covered == pytest.approx(0.90, abs=0.015)


def test_reliability_and_b_life_follow_the_scale():
    fit = weibull_fit_fixed_shape(complete(SEAL_AGES), 4.0)
    b10 = fit.b_life(10)
    assert fit.reliability(b10.value).value == pytest.approx(0.9)
    assert fit.reliability(b10.interval.low).interval.low == pytest.approx(0.9)
    assert fit.mean == pytest.approx(0.9064024770554771 * fit.scale)
    assert fit.conditional_failure(0.0, b10.value) == pytest.approx(0.1)


def test_sensitivity_shows_one_fit_for_each_shape():
    fits = fixed_shape_sensitivity(SUSPENDED, [1.0, 2.0, 3.0])
    bounds = [fit.scale_interval.low for fit in fits]
    assert [fit.shape for fit in fits] == [1.0, 2.0, 3.0]
    assert bounds == sorted(bounds, reverse=False) or len(set(bounds)) == 3


@pytest.mark.parametrize("shape", [0.0, -1.0, np.nan])
def test_shape_out_of_range_is_refused(shape):
    with pytest.raises(InvalidSample, match="shape must be above zero"):
        weibull_fit_fixed_shape(SUSPENDED, shape)


def test_settings_out_of_range_are_refused():
    with pytest.raises(InvalidSample, match="No truncation is called 'never'"):
        weibull_fit_fixed_shape(SUSPENDED, 1.0, truncation="never")
    with pytest.raises(InvalidSample, match="has at least one"):
        weibull_fit_fixed_shape(SUSPENDED, 1.0, truncation="failure")
    with pytest.raises(InvalidSample, match="percentage"):
        weibull_fit_fixed_shape(SUSPENDED, 1.0).b_life(0.0)


def test_huge_powers_do_not_overflow():
    fit = weibull_fit_fixed_shape(LifeData([1e5, 2e5], [1, 1]), 100.0)
    assert fit.scale == pytest.approx(2e5 * 2.0**-0.01, rel=1e-9)
