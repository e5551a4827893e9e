import numpy as np
import pytest
from scipy import stats

from analytics.life.data import LifeData
from analytics.life.errors import InvalidSample, TooFewFailures
from analytics.life.forecast import expected_failures, spares_for_service_level
from analytics.life.renewal import renewal_function
from analytics.life.weibull import weibull_fit, weibull_fit_fixed_shape
from tests.analytics.life.samples import SEAL_AGES, complete, drawn

FIT = weibull_fit(complete(SEAL_AGES))


def test_new_parts_renew_as_the_renewal_function_says():
    forecast = expected_failures([0.0] * 10, FIT, 40_000.0)
    expected = 10 * renewal_function(FIT.shape, FIT.scale, 40_000.0)[0]
    assert forecast.expected == pytest.approx(expected, rel=1e-4)


def test_probability_is_the_conditional_chance_of_each_part():
    ages = [0.0, 10_000.0, 35_000.0]
    forecast = expected_failures(ages, FIT, 2190.0)
    expected = [FIT.conditional_failure(age, 2190.0) for age in ages]
    assert forecast.probability == pytest.approx(expected)


def test_short_horizons_expect_the_sum_of_the_chances():
    forecast = expected_failures(np.linspace(0, 20_000, 50), FIT, 100.0)
    assert forecast.expected == pytest.approx(forecast.probability.sum(), rel=1e-3)


def test_simulation_centres_on_the_expectation():
    sure = weibull_fit(drawn(5, 4000, shape=2.0))
    forecast = expected_failures(np.linspace(0, 1500, 60), sure, 1200.0)
    assert forecast.drawn.mean() == pytest.approx(forecast.expected, rel=0.02)
    assert forecast.interval.low < forecast.expected < forecast.interval.high


def test_doubt_about_the_parameters_widens_the_interval():
    sure = weibull_fit(complete(np.tile(SEAL_AGES, 40)))
    ages = np.linspace(0, 30_000, 100)
    narrow = expected_failures(ages, sure, 8760.0).interval
    wide = expected_failures(ages, FIT, 8760.0).interval
    assert wide.high - wide.low > 1.3 * (narrow.high - narrow.low)


def test_stock_covers_at_its_level():
    forecast = expected_failures(np.linspace(0, 30_000, 40), FIT, 8760.0)
    stock = forecast.stock(0.95)
    assert (forecast.drawn <= stock).mean() >= 0.95
    assert (forecast.drawn <= stock - 1).mean() < 0.95
    assert forecast.stock(0.5) <= stock


def test_same_question_same_answer():
    first = expected_failures([5000.0], FIT, 8760.0)
    assert first.interval == expected_failures([5000.0], FIT, 8760.0).interval


def test_no_parts_need_no_spares():
    forecast = expected_failures([], FIT, 8760.0)
    assert (forecast.expected, forecast.stock(0.99)) == (0.0, 0)


def test_a_known_shape_can_be_forecast_too():
    fit = weibull_fit_fixed_shape(LifeData([9000.0, 4000.0], [1, 0]), 1.0)
    forecast = expected_failures([100.0] * 4, fit, 13_000.0)
    assert forecast.expected == pytest.approx(4.0, rel=1e-6)
    assert forecast.interval.high > 8
    bare = weibull_fit_fixed_shape(LifeData([9.0], [0]), 1.0)
    with pytest.raises(TooFewFailures, match="no estimate"):
        expected_failures([1.0], bare, 1.0)


@pytest.mark.parametrize(
    ("ages", "horizon", "confidence", "message"),
    [
        ([-1.0], 10.0, 0.9, "Every age must be zero or more"),
        ([np.nan], 10.0, 0.9, "missing or infinite"),
        ([1.0], 0.0, 0.9, "horizon must be above zero"),
        ([1.0], 1e12, 0.9, "horizon is too long"),
        ([1.0], 10.0, 1.0, "confidence"),
    ],
)
def test_refusals(ages, horizon, confidence, message):
    with pytest.raises(InvalidSample, match=message):
        expected_failures(ages, FIT, horizon, confidence)


@pytest.mark.parametrize("level", [0.0, 1.0, np.nan])
def test_service_level_lies_strictly_between(level):
    with pytest.raises(InvalidSample, match="service level"):
        spares_for_service_level(2.0, level)
    with pytest.raises(InvalidSample, match="service level"):
        expected_failures([1.0], FIT, 10.0).stock(level)


@pytest.mark.parametrize("mean", [0.01, 0.4, 2.5, 37.0, 1e5])
@pytest.mark.parametrize("level", [0.5, 0.9, 0.99])
def test_spares_match_the_poisson_quantile(mean, level):
    assert spares_for_service_level(mean, level) == stats.poisson.ppf(level, mean)


def test_no_demand_needs_no_spares_and_negative_demand_is_refused():
    assert spares_for_service_level(0.0, 0.99) == 0
    with pytest.raises(InvalidSample, match="mean demand"):
        spares_for_service_level(-1.0, 0.9)


def test_equal_horizons_of_each_part_are_the_same_as_one_for_all():
    ages = [0.0, 10_000.0, 35_000.0]
    one = expected_failures(ages, FIT, 2_190.0)
    each = expected_failures(ages, FIT, [2_190.0] * 3)
    assert each.expected == pytest.approx(one.expected)
    assert each.interval == one.interval
    assert each.probability == pytest.approx(one.probability)


def test_parts_that_run_unequally_add_up():
    ages, ahead = [5_000.0, 20_000.0, 20_000.0], [8_766.0, 4_383.0, 100.0]
    # Enough lives that doubt about the parameters does not shift the mean.
    sure = weibull_fit(complete(SEAL_AGES * 40))
    together = expected_failures(ages, sure, ahead)
    alone = [
        expected_failures([age], sure, time)
        for age, time in zip(ages, ahead, strict=True)
    ]
    assert together.expected == pytest.approx(sum(one.expected for one in alone))
    assert together.probability == pytest.approx([one.probability[0] for one in alone])
    assert together.drawn.mean() == pytest.approx(together.expected, rel=0.05)
    assert together.horizon == 8_766.0


@pytest.mark.parametrize(
    ("ahead", "words"),
    [
        ([10.0], "There are 2 ages but 1 horizons"),
        ([10.0, 0.0], "Every horizon must be above zero"),
    ],
)
def test_horizons_that_do_not_fit_the_parts_are_refused(ahead, words):
    with pytest.raises(InvalidSample, match=words):
        expected_failures([1.0, 2.0], FIT, ahead)


@pytest.mark.parametrize(("mean", "level"), [(1e5, 0.999), (1e7, 0.9), (0.01, 0.5)])
def test_spares_of_extreme_demands(mean, level):
    assert spares_for_service_level(mean, level) == stats.poisson.ppf(level, mean)


@pytest.mark.parametrize("given", [None, "many", float("nan"), [2.0], 1e300])
def test_demands_that_are_no_demand_are_refused(given):
    with pytest.raises(InvalidSample, match="mean demand"):
        spares_for_service_level(given, 0.9)
