"""Sources stand in the case file: Barlow-Proschan, Smith-Leadbetter, Poisson rule."""

import pytest

from analytics.life.forecast import renewal_function, spares_for_service_level
from analytics.life.replacement import age_replacement
from analytics.life.weibull import conditional_failure
from tests.published.cases import case_data


@pytest.mark.parametrize(
    "identifier", ["h1_age_replacement", "h2_age_replacement_years"]
)
def test_age_replacement_agrees(identifier):
    case = case_data("replacement_and_forecast", identifier)
    data, expected = case["data"], case["expected"]
    policy = age_replacement(
        data["shape"],
        data["scale"],
        data["cost_preventive"],
        data["cost_corrective"],
    )
    assert policy.worthwhile
    assert policy.age == pytest.approx(expected["optimal_age"], rel=1e-6)
    assert policy.cost_rate == pytest.approx(expected["min_cost_rate"], rel=1e-6)
    assert policy.run_to_failure_cost_rate == pytest.approx(
        expected["run_to_failure_cost_rate"], rel=1e-6
    )
    assert policy.saving == pytest.approx(expected["saving_fraction"], rel=1e-6)
    assert policy.mean_cycle_length == pytest.approx(
        expected["mean_cycle_length"], rel=1e-6
    )


def test_an_optimum_below_one_unit_of_time_is_found():
    """Named in the notes of case h2: T* 0.686086, cost 10.0161199."""
    policy = age_replacement(1.2, 1.0, 1.0, 10.0)
    assert policy.age == pytest.approx(0.686086, abs=5e-7)
    assert policy.cost_rate == pytest.approx(10.0161199, abs=5e-8)


def test_conditional_failure_agrees():
    case = case_data("replacement_and_forecast", "h3_conditional_failure")
    found = [
        conditional_failure(row["shape"], row["scale"], row["age"], row["interval"])
        for row in case["data"]["cases"]
    ]
    assert found == pytest.approx(case["expected"]["probability"], rel=1e-6)


def test_renewals_agree():
    case = case_data("replacement_and_forecast", "h4_weibull_renewals")
    for (shape, time), expected in zip(
        case["data"]["points"], case["expected"]["M"], strict=True
    ):
        assert renewal_function(shape, 1.0, time)[0] == pytest.approx(
            expected, abs=1e-6
        )


def test_poisson_spares_agree():
    case = case_data("replacement_and_forecast", "h5_poisson_spares")
    for mean in case["data"]["mean_demand"]:
        found = [
            spares_for_service_level(mean, level) for level in case["data"]["service"]
        ]
        assert found == case["expected"]["stock"][str(mean)]
