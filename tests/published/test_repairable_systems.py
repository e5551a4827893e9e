"""Sources stand in the case file: NIST 8.4.5.2, MIL-HDBK-189 (1981), Nelson 1995."""

import numpy as np
import pytest

from analytics.life.recurrence import (
    laplace_test,
    mean_cumulative_function,
    military_handbook_test,
    power_law_fit,
)
from analytics.life.recurrence.growth_limits import (
    failure_ended_factors,
    time_ended_factors,
)
from tests.published.cases import case_data

PROCESSES = ["e1_nist_power_law_time", "e2_mil_hdbk_189_time"]


@pytest.mark.parametrize("identifier", PROCESSES)
def test_power_law_agrees(identifier):
    case = case_data("repairable_systems", identifier)
    data, expected = case["data"], case["expected"]
    fit = power_law_fit(data["event_times"], data["T"], "time")
    assert fit.shape == pytest.approx(expected["beta_mle"], rel=1e-6)
    assert fit.scale == pytest.approx(expected["lambda_mle"], rel=1e-6)
    assert fit.shape_unbiased == pytest.approx(expected["beta_unbiased"], rel=1e-6)
    assert fit.intensity_now == pytest.approx(expected["intensity_at_T"], rel=1e-6)
    assert fit.mtbf_now == pytest.approx(expected["MTBF_at_T"], rel=1e-6)
    assert fit.cramer_von_mises == pytest.approx(expected["cramer_von_mises"], rel=1e-6)
    limits = (fit.shape_interval.low, fit.shape_interval.high)
    assert limits == pytest.approx(expected["beta_ci90_chi2"], rel=1e-6)
    wide = power_law_fit(data["event_times"], data["T"], confidence=0.95)
    limits = (wide.shape_interval.low, wide.shape_interval.high)
    assert limits == pytest.approx(expected["beta_ci95_chi2"], rel=1e-6)


@pytest.mark.parametrize("identifier", PROCESSES)
def test_trend_tests_agree(identifier):
    case = case_data("repairable_systems", identifier)
    data, expected = case["data"], case["expected"]
    laplace = laplace_test(data["event_times"], data["T"])
    assert laplace.statistic == pytest.approx(expected["laplace_U"], rel=1e-6)
    assert laplace.p_value == pytest.approx(expected["laplace_two_sided_p"], abs=1e-6)
    handbook = military_handbook_test(data["event_times"], data["T"])
    assert handbook.statistic == pytest.approx(expected["mil_hdbk_189_chi2"], rel=1e-6)
    assert handbook.degrees_of_freedom == expected["df"]
    assert handbook.p_value == pytest.approx(expected["mil_two_sided_p"], abs=1e-6)
    assert laplace.direction == handbook.direction == "improving"


def test_nist_growth_figures_as_printed():
    case = case_data("repairable_systems", "e1_nist_power_law_time")
    printed = case["expected"]["published"]
    fit = power_law_fit(case["data"]["event_times"], 1500, confidence=0.80)
    assert 1.0 - fit.shape_unbiased == pytest.approx(
        printed["improvement_slope"], abs=5e-7
    )
    assert fit.mtbf_unbiased == pytest.approx(printed["MTBF"], abs=5e-4)
    interval = fit.mtbf_interval_approximate
    assert (interval.low, interval.high) == pytest.approx(printed["ci80"], abs=5e-5)


def test_handbook_rounded_figures():
    case = case_data("repairable_systems", "e2_mil_hdbk_189_time")
    fit, printed = (
        power_law_fit(case["data"]["event_times"], 300),
        case["expected"]["published"],
    )
    assert round(fit.shape, 3) == printed["beta"]
    assert round(fit.scale, 3) == printed["lam"]
    assert round(fit.intensity_now, 4) == printed["intensity"]
    assert round(fit.mtbf_now, 1) == printed["MTBF"]
    assert round(fit.cramer_von_mises, 3) == printed["cvm"]


@pytest.mark.parametrize(
    ("events", "low", "high"),
    [(2, 0.200, 38.66), (3, 0.263, 9.736), (4, 0.312, 5.947), (5, 0.352, 4.517)],
)
def test_factors_of_the_time_ended_table(events, low, high):
    """MIL-HDBK-189 table of 90 % factors, time terminated; from memory."""
    found = time_ended_factors(events, 0.90)
    assert found[0] == pytest.approx(low, abs=6e-4)
    assert found[1] == pytest.approx(high, rel=2e-4)


@pytest.mark.parametrize(
    ("events", "low", "high"),
    [(2, 0.5552, 72.67), (3, 0.5137, 14.24), (4, 0.5174, 7.651), (5, 0.5290, 5.424)],
)
def test_factors_of_the_failure_ended_table(events, low, high):
    """MIL-HDBK-189 table of 90 % factors, failure terminated; from memory."""
    found = failure_ended_factors(events, 0.90)
    assert found[0] == pytest.approx(low, abs=6e-5)
    assert found[1] == pytest.approx(high, rel=5e-4)


def test_valve_seat_mean_curve_agrees():
    case = case_data("repairable_systems", "e4_nelson_valve_seat")
    units = [(unit["events"], unit["end"]) for unit in case["data"]["units"]]
    curve = mean_cumulative_function(units, confidence=0.95)
    assert (curve.units, curve.events.sum()) == (41, 48)
    for row in case["expected"]["rows"]:
        place = int(np.searchsorted(curve.time, row["t"], side="right")) - 1
        assert curve.time[place] == row["last_event"]
        assert curve.at_risk[place] == row["at_risk_at_last_event"]
        assert curve.mean[place] == pytest.approx(row["MCF"], abs=1e-6)
        assert curve.at(row["t"]) == curve.mean[place]
        assert curve.variance[place] == pytest.approx(row["variance_robust"], rel=1e-5)
        limits = (curve.lower[place], curve.upper[place])
        assert limits == pytest.approx(row["ci95_log"], rel=1e-5)


def test_three_systems_watched_to_one_age_agree():
    """Crow's three systems to 200 h: shape 0.615, scale 0.461; from memory."""
    systems = [
        [4.3, 4.4, 10.2, 23.5, 23.8, 26.4, 74.0, 77.1, 92.1, 197.2],
        [0.1, 5.6, 18.6, 19.5, 24.2, 26.7, 45.1, 45.8, 75.7, 79.7]
        + [98.6, 120.1, 161.8, 180.6, 190.8],
        [8.4, 32.5, 44.7, 48.4, 50.6, 73.6, 98.7, 112.2, 129.8, 136.0, 195.8],
    ]
    fit = power_law_fit(systems, 200.0)
    assert (fit.systems, fit.events) == (3, 36)
    assert round(fit.shape, 3) == 0.615
    assert round(fit.scale, 3) == 0.461
