"""Sources stand in the case file: NIST 8.4.5.1, MIL-HDBK-338B (from memory)."""

import pytest

from analytics.life.mtbf import mtbf_interval
from tests.published.cases import published_cases


@pytest.mark.parametrize("case", published_cases("mtbf"))
def test_limits_agree(case):
    data = case["data"]
    for confidence, expected in case["expected"]["limits"].items():
        two = mtbf_interval(
            data["total_time"],
            data["failures"],
            float(confidence),
            truncation=data["termination"],
        )
        assert two.estimate == pytest.approx(expected["point"])
        low, high = expected["two_sided"]
        assert two.interval.low == pytest.approx(low, rel=1e-5)
        high = float("inf") if high is None else high
        assert two.interval.high == pytest.approx(high, rel=1e-5)
        lower = mtbf_interval(
            data["total_time"],
            data["failures"],
            float(confidence),
            truncation=data["termination"],
            sided="lower",
        )
        assert lower.interval.low == pytest.approx(
            expected["one_sided_lower"], rel=1e-5
        )
        assert lower.interval.high == float("inf")


@pytest.mark.parametrize(
    ("exposure", "events", "estimate", "low", "high"),
    [
        (420 * 12, 140, 36.0, 31.288, 41.611),
        (332_400, 20, 16_620, 11_437.6, 25_078.0),
    ],
)
def test_fleet_figures_to_the_printed_digits(exposure, events, estimate, low, high):
    """Worked from the chi-square formula; the fleet numbers are invented."""
    result = mtbf_interval(exposure, events)
    assert result.estimate == estimate
    digits = 3 if estimate < 100 else 1
    assert round(result.interval.low, digits) == low
    assert round(result.interval.high, digits) == high


def test_fleet_means():
    assert round(mtbf_interval(1200 * 12, 156).estimate, 3) == 92.308
    assert mtbf_interval(850 * 12, 170).estimate == 60.0
