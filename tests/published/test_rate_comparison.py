"""Sources stand in the case file: R poisson.test, Gu et al. 2008, B-H 1995."""

import pytest

from analytics.life.compare import benjamini_hochberg, rate_ratio
from tests.published.cases import case_data


@pytest.mark.parametrize("identifier", ["g1_r_poisson_test", "g2_gu_2008_ex1"])
def test_rate_ratios_agree(identifier):
    case = case_data("rate_comparison", identifier)
    data, expected = case["data"], case["expected"]
    result = rate_ratio(
        data["events_1"],
        data["exposure_1"],
        data["events_2"],
        data["exposure_2"],
        confidence=0.95,
    )
    assert result.ratio == pytest.approx(expected["ratio"], rel=1e-6)
    assert (result.interval.low, result.interval.high) == pytest.approx(
        expected["ci95_ratio"], rel=1e-5
    )
    assert result.p_value == pytest.approx(
        expected["p_two_sided_minimum_likelihood"], rel=1e-5
    )
    assert result.p_value_doubled == pytest.approx(
        expected["p_two_sided_doubled"], rel=1e-5
    )


def test_fifteen_p_values_of_benjamini_and_hochberg():
    case = case_data("rate_comparison", "g6_benjamini_hochberg_1995")
    result = benjamini_hochberg(case["data"]["p"], case["data"]["q"])
    assert result.adjusted == pytest.approx(case["expected"]["adjusted"], abs=1e-7)
    assert result.rejected.sum() == case["expected"]["rejected"] == 4
