import numpy as np
import pytest
from lifelines import WeibullFitter
from scipy import stats

from analytics.life.data import LifeData
from analytics.life.errors import (
    InvalidSample,
    NoMaximum,
    NoSpread,
    TooFewFailures,
)
from analytics.life.weibull import weibull_fit
from tests.analytics.life.samples import SEAL_AGES, complete, drawn


@pytest.mark.parametrize("failures", [0, 1, 2])
def test_a_shape_needs_three_failures(failures):
    lives = LifeData([100, 200, 300, 400], [i < failures for i in range(4)])
    with pytest.raises(TooFewFailures, match=f"this sample has {failures}"):
        weibull_fit(lives)


@pytest.mark.parametrize("suspensions", [[], [900.0, 900.0]])
def test_failures_all_equal_are_refused(suspensions):
    lives = LifeData([500.0] * 3 + suspensions, [1] * 3 + [0] * len(suspensions))
    with pytest.raises(NoSpread, match="All 3 failures have the same age"):
        weibull_fit(lives)


def test_lives_all_entered_late_can_leave_no_maximum():
    lives = LifeData([1100, 1210, 1330, 1464], [1, 1, 1, 1], [1000, 1100, 1200, 1300])
    shrinking = LifeData([1010, 1200, 2100, 9000], [1, 1, 1, 0], [1000] * 4)
    with pytest.raises(NoMaximum, match="watched too late"):
        weibull_fit(shrinking)
    assert weibull_fit(lives).shape > 0.0


@pytest.mark.parametrize("confidence", [0.0, 1.0, np.nan, -3.0])
def test_confidence_out_of_range_is_refused(confidence):
    with pytest.raises(InvalidSample, match="confidence"):
        weibull_fit(complete(SEAL_AGES), confidence)


def test_unknown_method_is_refused():
    with pytest.raises(InvalidSample, match="No interval method is called 'bayes'"):
        weibull_fit(complete(SEAL_AGES), intervals="bayes")


@pytest.mark.parametrize("percent", [0, 100, -1, np.nan])
def test_b_life_outside_its_range_is_refused(percent):
    with pytest.raises(InvalidSample, match="percentage"):
        weibull_fit(complete(SEAL_AGES)).b_life(percent)


@pytest.mark.parametrize("age", [-1.0, np.nan, np.inf])
def test_reliability_refuses_ages_that_cannot_be(age):
    with pytest.raises(InvalidSample, match="age must be zero or more"):
        weibull_fit(complete(SEAL_AGES)).reliability(age)


def test_ties_weigh_as_often_as_they_occur():
    once = weibull_fit(complete([10, 20, 30, 50]), intervals="likelihood_ratio")
    twice = weibull_fit(complete([10, 20, 30, 50] * 2), intervals="likelihood_ratio")
    assert twice.shape == pytest.approx(once.shape, rel=1e-10)
    assert twice.log_likelihood == pytest.approx(2 * once.log_likelihood, rel=1e-12)


@pytest.mark.parametrize("late", [0.0, 0.6])
def test_agrees_with_lifelines(late):
    lives = drawn(11, 60, cut=1200.0, late=late)
    fit = weibull_fit(lives)
    reference = WeibullFitter().fit(lives.ages, lives.failed, entry=lives.entries)
    assert fit.shape == pytest.approx(reference.rho_, rel=2e-4)
    assert fit.scale == pytest.approx(reference.lambda_, rel=2e-4)
    assert fit.log_likelihood >= reference.log_likelihood_ - 1e-9
    assert fit.log_likelihood == pytest.approx(reference.log_likelihood_, abs=1e-5)


def test_agrees_with_the_censored_fit_of_scipy():
    lives = drawn(12, 40, cut=900.0)
    data = stats.CensoredData(
        uncensored=lives.ages[lives.failed], right=lives.ages[~lives.failed]
    )
    shape, _, scale = stats.weibull_min.fit(data, floc=0)
    fit = weibull_fit(lives)
    assert (fit.shape, fit.scale) == pytest.approx((shape, scale), rel=1e-3)


def test_agrees_with_surpyval():
    import surpyval

    lives = drawn(13, 40, cut=900.0)
    reference = surpyval.Weibull.fit(x=lives.ages, c=(~lives.failed).astype(int))
    fit = weibull_fit(lives)
    assert (fit.scale, fit.shape) == pytest.approx(tuple(reference.params), rel=1e-4)


def test_above_nine_failures_calibrated_equals_likelihood_ratio():
    lives = complete(SEAL_AGES)
    calibrated = weibull_fit(lives)
    plain = weibull_fit(lives, intervals="likelihood_ratio")
    assert calibrated.shape_interval == plain.shape_interval
    assert calibrated.scale_interval == plain.scale_interval


def test_below_ten_failures_calibrated_is_wider():
    lives = complete(SEAL_AGES[:5])
    calibrated = weibull_fit(lives)
    plain = weibull_fit(lives, intervals="likelihood_ratio")
    assert calibrated.shape_interval.method == "calibrated"
    for wide, narrow in (
        (calibrated.shape_interval, plain.shape_interval),
        (calibrated.scale_interval, plain.scale_interval),
        (calibrated.b_life(10).interval, plain.b_life(10).interval),
        (calibrated.reliability(2e4).interval, plain.reliability(2e4).interval),
    ):
        assert wide.low < narrow.low < narrow.high < wide.high


@pytest.mark.parametrize("intervals", ["calibrated", "likelihood_ratio", "wald_log"])
def test_every_interval_holds_its_estimate(intervals):
    fit = weibull_fit(drawn(5, 8, cut=1500.0, late=0.5), intervals=intervals)
    assert fit.shape in fit.shape_interval
    assert fit.scale in fit.scale_interval
    for estimate in (
        fit.b_life(1),
        fit.b_life(10),
        fit.b_life(90),
        fit.reliability(30.0),
        fit.reliability(800.0),
        fit.conditional_failure_estimate(500.0, 200.0),
        fit.conditional_failure_estimate(0.0, 200.0),
    ):
        assert estimate.value in estimate.interval


@pytest.mark.parametrize("intervals", ["likelihood_ratio", "wald_log"])
def test_mean_limits_of_a_constant_rate_are_near_those_of_the_rate(intervals):
    """With very many lives of shape one, mean and scale are known alike."""
    fit = weibull_fit(drawn(2, 20_000, shape=1.0), intervals=intervals)
    mean = fit.mean_estimate()
    assert mean.value == pytest.approx(fit.mean)
    reach = 1.6449 / np.sqrt(20_000)
    assert np.log(mean.interval.high / mean.value) == pytest.approx(reach, rel=0.1)
    assert np.log(mean.value / mean.interval.low) == pytest.approx(reach, rel=0.1)


def test_mean_limits_cover_for_few_failures():
    hits = [
        weibull_fit(drawn(seed, 5, shape=2.0, scale=1.0)).mean_estimate().interval
        for seed in range(400)
    ]
    covered = np.mean([0.886227 in interval for interval in hits])
    assert covered == pytest.approx(0.90, abs=0.05)


def test_reliability_at_age_zero_is_one():
    estimate = weibull_fit(complete(SEAL_AGES)).reliability(0.0)
    assert (estimate.value, estimate.interval.low, estimate.interval.high) == (1, 1, 1)


def test_b_life_and_reliability_limits_are_two_views_of_one_curve():
    fit = weibull_fit(complete(SEAL_AGES), intervals="likelihood_ratio")
    upper_age = fit.b_life(10).interval.high
    assert fit.reliability(upper_age).interval.high == pytest.approx(0.9, abs=1e-6)


def test_band_encloses_the_line_and_matches_the_single_limits():
    fit = weibull_fit(complete(SEAL_AGES[:6]))
    band = fit.band(np.geomspace(2000, 60000, 25))
    assert (band.low <= band.probability).all()
    assert (band.probability <= band.high).all()
    single = fit.reliability(float(band.ages[12])).interval
    assert 1.0 - band.high[12] == pytest.approx(single.low, rel=1e-9)
    assert (np.diff(band.low) > 0).all()
    assert (np.diff(band.high) >= 0).all()


def test_band_refuses_age_zero():
    with pytest.raises(InvalidSample, match="Every age must be above zero"):
        weibull_fit(complete(SEAL_AGES)).band([0.0, 1.0])


def test_conditional_chance_from_new_is_the_failure_probability():
    fit = weibull_fit(complete(SEAL_AGES))
    chance = fit.conditional_failure_estimate(0.0, 20000.0)
    alive = fit.reliability(20000.0)
    assert chance.value == pytest.approx(1.0 - alive.value)
    assert chance.interval.low == pytest.approx(1.0 - alive.interval.high, abs=1e-7)


def test_conditional_chance_needs_a_horizon():
    with pytest.raises(InvalidSample, match="horizon must be above zero"):
        weibull_fit(complete(SEAL_AGES)).conditional_failure_estimate(10.0, 0.0)


def test_repeated_positions_widen_the_intervals_and_say_so():
    generator = np.random.default_rng(3)
    effect = np.repeat(generator.normal(0, 0.8, 12), 4)
    ages = 1000.0 * np.exp(effect) * generator.weibull(2.0, 48)
    labels = np.repeat(np.arange(12), 4).tolist()
    alone = weibull_fit(LifeData(ages, [True] * 48))
    clustered = weibull_fit(LifeData(ages, [True] * 48, groups=labels))
    assert clustered.clusters == 12
    assert "clustered by position" in clustered.scale_interval.method
    assert clustered.shape == alone.shape
    ratio = np.log(clustered.scale_interval.high / clustered.scale_interval.low)
    assert ratio > 1.3 * np.log(alone.scale_interval.high / alone.scale_interval.low)


def test_distinct_labels_change_nothing():
    labelled = LifeData(SEAL_AGES, [True] * 10, groups=list(range(10)))
    assert (
        weibull_fit(labelled).scale_interval
        == weibull_fit(complete(SEAL_AGES)).scale_interval
    )


def test_a_gigantic_life_carries_a_warning():
    fit = weibull_fit(complete([*SEAL_AGES, 900_000]))
    assert "carries the fit" in fit.warnings[0]
    near = weibull_fit(complete([*SEAL_AGES, 40_000]))
    assert not any("carries the fit" in words for words in near.warnings)


@pytest.mark.parametrize("factor", [1e-9, 1e9])
def test_ages_beyond_belief_are_fitted_with_a_warning(factor):
    fit = weibull_fit(complete([factor * age for age in (1, 2, 3, 4)]))
    assert "check the unit" in fit.warnings[0]
    plain = weibull_fit(complete([1, 2, 3, 4]))
    assert fit.scale == pytest.approx(plain.scale * factor, rel=1e-9)
    assert fit.shape == pytest.approx(plain.shape, rel=1e-9)


def test_a_million_rows_are_fitted():
    lives = drawn(1, 1_000_000, shape=1.3, cut=1500.0)
    fit = weibull_fit(lives)
    assert fit.shape == pytest.approx(1.3, rel=0.01)
    assert 1.3 in fit.shape_interval


def test_ages_a_hair_apart_still_give_a_sharp_shape():
    ages = 1000.0 + np.array([0.0, 0.001, 0.002, 0.003, 0.0015])
    fit = weibull_fit(complete(ages))
    assert 5e5 < fit.shape < 2e6
    assert fit.shape in fit.shape_interval
