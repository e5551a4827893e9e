import numpy as np
import pytest

from analytics.life.data import LifeData
from analytics.life.errors import InvalidSample
from analytics.life.weibull import Status, weibull_fit, weibull_fit_many
from tests.analytics.life.samples import complete, drawn


def test_each_population_has_its_own_status():
    fits = weibull_fit_many(
        [
            drawn(1, 20),
            LifeData([5.0, 6.0], [False, False]),
            complete([7.0, 7.0, 7.0]),
            LifeData([1010, 1200, 2100, 9000], [1, 1, 1, 0], [1000] * 4),
        ],
        intervals="likelihood_ratio",
    )
    assert fits.status.tolist() == [
        Status.OK,
        Status.TOO_FEW_FAILURES,
        Status.NO_SPREAD,
        Status.NO_MAXIMUM,
    ]
    assert fits.fitted.tolist() == [True, False, False, False]
    for numbers in (fits.shape, fits.scale, fits.log_likelihood, fits.b10_low):
        assert np.isfinite(numbers[0])
        assert np.isnan(numbers[1:]).all()
    assert fits.failures.tolist() == [20, 0, 3, 3]
    assert fits.suspensions.tolist() == [0, 2, 0, 1]


def test_equals_single_fits_with_limits():
    samples = [drawn(i, 15 + i, cut=1400.0, late=0.5 * (i % 2)) for i in range(12)]
    fits = weibull_fit_many(samples, intervals="likelihood_ratio")
    for i, sample in enumerate(samples):
        fit = weibull_fit(sample, intervals="likelihood_ratio")
        assert fits.shape[i] == pytest.approx(fit.shape, rel=1e-9)
        assert fits.scale[i] == pytest.approx(fit.scale, rel=1e-9)
        assert fits.log_likelihood[i] == pytest.approx(fit.log_likelihood, rel=1e-9)
        limits = (fits.shape_low[i], fits.shape_high[i])
        assert limits == pytest.approx(
            (fit.shape_interval.low, fit.shape_interval.high), rel=1e-7
        )
        limits = (fits.scale_low[i], fits.scale_high[i])
        assert limits == pytest.approx(
            (fit.scale_interval.low, fit.scale_interval.high), rel=1e-4
        )
        b10 = fit.b_life(10)
        assert (fits.b10[i], fits.b10_low[i], fits.b10_high[i]) == pytest.approx(
            (b10.value, b10.interval.low, b10.interval.high), rel=1e-4
        )


def test_limits_are_left_out_unless_asked_for():
    assert np.isnan(weibull_fit_many([drawn(1, 20)]).shape_low).all()


def test_no_population_gives_empty_arrays():
    assert weibull_fit_many([]).shape.size == 0


def test_unknown_method_is_refused():
    with pytest.raises(InvalidSample, match="No interval method is called 'exact'"):
        weibull_fit_many([drawn(1, 20)], intervals="exact")


def test_bad_confidence_is_refused():
    with pytest.raises(InvalidSample, match="confidence"):
        weibull_fit_many([drawn(1, 20)], confidence=2.0)
