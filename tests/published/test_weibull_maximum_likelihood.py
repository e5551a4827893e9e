"""Sources stand in the case file: NIST 8.4.1.3, Lieblein-Zelen, Nelson, Freireich.

Reference limits came from R survreg and R profile likelihoods, as named in
each case.
"""

import numpy as np
import pytest

from analytics.life.data import LifeData
from analytics.life.weibull import (
    log_likelihood,
    weibull_fit,
    weibull_fit_fixed_shape,
    weibull_fit_many,
)
from tests.published.cases import case_data, published_cases

CASES = published_cases("weibull_maximum_likelihood")


def sample(case):
    failures, suspensions = case["data"]["failures"], case["data"]["suspensions"]
    flags = [True] * len(failures) + [False] * len(suspensions)
    return LifeData(failures + suspensions, flags, unit=case["data"]["units"])


@pytest.mark.parametrize("case", CASES)
def test_estimates_agree_with_the_reference(case):
    expected, tolerance = case["expected"], case["tolerance"]
    fit = weibull_fit(sample(case))
    assert fit.shape == pytest.approx(expected["shape"], rel=tolerance["shape_rel"])
    assert fit.scale == pytest.approx(expected["scale"], rel=tolerance["scale_rel"])
    assert fit.log_likelihood == pytest.approx(
        expected["log_likelihood"], abs=tolerance["loglik_abs"]
    )
    assert fit.b_life(10).value == pytest.approx(expected["B10"], rel=1e-5)
    assert fit.b_life(50).value == pytest.approx(expected["B50"], rel=1e-5)
    assert fit.mean == pytest.approx(expected["MTTF"], rel=1e-5)


@pytest.mark.parametrize("case", CASES)
@pytest.mark.parametrize(
    ("intervals", "key", "tolerance"),
    [
        ("wald_log", "ci95_wald_log", "ci_wald_rel"),
        ("likelihood_ratio", "ci95_likelihood_ratio", "ci_lr_rel"),
    ],
)
def test_limits_agree_with_the_reference(case, intervals, key, tolerance):
    fit = weibull_fit(sample(case), confidence=0.95, intervals=intervals)
    expected = case["expected"][key]
    for interval, name in (
        (fit.shape_interval, "shape"),
        (fit.scale_interval, "scale"),
        (fit.b_life(10).interval, "B10"),
    ):
        assert (interval.low, interval.high) == pytest.approx(
            expected[name], rel=case["tolerance"][tolerance]
        )
        assert interval.method == intervals


def test_nist_figures_as_printed():
    case = case_data("weibull_maximum_likelihood", "a1_nist_20units")
    printed = case["expected"]["published"]
    fit = weibull_fit(sample(case))
    assert fit.shape == pytest.approx(printed["shape"], abs=5e-5)
    assert fit.scale == pytest.approx(printed["scale"], abs=1e-3)
    assert -2.0 * fit.log_likelihood + 4.0 == pytest.approx(printed["AIC"], abs=5e-3)
    assert fit.mean == pytest.approx(printed["mean"], abs=1e-3)


def test_all_cases_in_one_call_equal_the_single_fits():
    samples = [sample(case.values[0]) for case in CASES]
    fits = weibull_fit_many(samples, confidence=0.95, intervals="likelihood_ratio")
    expected = [case.values[0]["expected"] for case in CASES]
    assert fits.shape == pytest.approx([e["shape"] for e in expected], rel=1e-6)
    assert fits.b10 == pytest.approx([e["B10"] for e in expected], rel=1e-6)
    limits = [e["ci95_likelihood_ratio"] for e in expected]
    assert fits.shape_low == pytest.approx([x["shape"][0] for x in limits], rel=2e-3)
    assert fits.scale_high == pytest.approx([x["scale"][1] for x in limits], rel=2e-3)
    assert fits.b10_low == pytest.approx([x["B10"][0] for x in limits], rel=2e-3)


@pytest.mark.parametrize("case", published_cases("pump_seal_lives"))
def test_pump_seal_lives_to_the_printed_digits(case):
    fit = weibull_fit(LifeData(case["ages"], [True] * 10))
    expected = case["recomputed"]
    assert round(fit.shape, 4) == expected["shape"]
    assert round(fit.scale, 1) == expected["scale"]
    assert round(fit.log_likelihood, 4) == expected["log_likelihood"]
    assert sum(case["ages"]) == case["printed"]["sum"]


def test_pooling_two_populations_of_seals_misleads():
    ages = (
        case_data("pump_seal_lives", "seal_lives_a")["ages"]
        + case_data("pump_seal_lives", "seal_lives_b")["ages"]
    )
    fit = weibull_fit(LifeData(ages, [True] * 20))
    assert round(fit.shape, 4) == 1.5243
    assert round(fit.scale, 1) == 18472.7
    assert round(fit.log_likelihood, 4) == -212.0959


def test_pump_a_seals_with_b10_suspensions_and_late_entries():
    ages = case_data("pump_seal_lives", "seal_lives_a")["ages"]
    complete = weibull_fit(LifeData(ages, [True] * 10))
    assert round(complete.b_life(10).value, 1) == 17361.5
    assert round(complete.reliability(25000).value, 4) == 0.5889
    assert round(1.0 - complete.conditional_failure(20000, 4380), 4) == 0.7583
    suspended = weibull_fit(LifeData([*ages, 20000, 30000], [True] * 10 + [False] * 2))
    assert round(suspended.shape, 4) == 4.6031
    assert round(suspended.scale, 1) == 29782.3
    assert round(suspended.log_likelihood, 4) == -103.4951
    entries = [0, 10000, 0, 12000, 0, 15000, 0, 20000, 0, 25000]
    late = weibull_fit(LifeData(ages, [True] * 10, entries))
    assert round(late.shape, 4) == 4.0098
    assert round(late.scale, 1) == 27890.1
    assert round(late.log_likelihood, 4) == -101.2968


def test_bearings_cut_at_75_million_revolutions():
    case = case_data("weibull_maximum_likelihood", "a2_lieblein_zelen_bearings")
    ages = np.array(case["data"]["failures"])
    fit = weibull_fit(LifeData(np.minimum(ages, 75.0), ages <= 75.0, unit="1e6 rev"))
    assert (fit.failures, fit.suspensions) == (15, 8)
    assert round(fit.shape, 4) == 2.7634
    assert round(fit.scale, 3) == 72.814
    assert round(fit.log_likelihood, 4) == -75.6965


def test_bearing_lives_worked_out():
    case = case_data("weibull_maximum_likelihood", "a2_lieblein_zelen_bearings")
    ages = case["data"]["failures"]
    fit = weibull_fit(LifeData(ages, [True] * 23, unit="1e6 rev"))
    assert round(sum(ages) / 23, 4) == 72.2243
    assert round(fit.b_life(10).value, 3) == 28.069
    assert round(fit.b_life(50).value, 3) == 68.777
    assert round(fit.mean, 2) == 72.52


def test_rank_six_sample_by_maximum_likelihood():
    lives = LifeData([2200, 3800, 4600, 5000, 6700, 7500], [1, 0, 1, 0, 1, 1])
    fit = weibull_fit(lives)
    assert (round(fit.shape, 4), round(fit.scale, 1)) == (3.3787, 6321.8)


@pytest.mark.parametrize("case", CASES)
def test_likelihood_at_the_published_parameters(case):
    expected = case["expected"]
    value = log_likelihood(sample(case), expected["shape"], expected["scale"])
    assert value == pytest.approx(expected["log_likelihood"], abs=1e-5)


def test_fixed_shape_one_gives_the_published_constant_rate_limits():
    """NIST 8.4.5.1, two failures in 800 hours: 127 to 2251 h at 90 %."""
    fit = weibull_fit_fixed_shape(LifeData([300, 250, 250], [1, 1, 0]), shape=1.0)
    limits = (fit.scale_interval.low, fit.scale_interval.high)
    assert limits == pytest.approx((127.068968, 2251.228611), rel=1e-8)
