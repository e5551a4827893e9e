import pytest

from tests.calibration.other_coverage import (
    kaplan_meier_coverage,
    mean_curve_coverage,
    mtbf_coverage,
    power_law_coverage,
)

RUNS = 400
SEED = 5


def test_exact_rate_limits_cover():
    (covered, below, above), refused = mtbf_coverage(10, 20_000, SEED)
    assert covered >= 0.895
    assert covered + below + above == pytest.approx(1.0)
    assert refused == 0.0


def test_power_law_limits_cover():
    shape, mtbf, refused = power_law_coverage(10, RUNS, SEED)
    assert 0.85 < shape[0] < 0.95
    assert 0.88 < mtbf[0] < 0.98
    assert refused < 0.02


@pytest.mark.parametrize("coverage", [kaplan_meier_coverage, mean_curve_coverage])
def test_curve_limits_cover(coverage):
    (covered, _, _), _ = coverage(30, RUNS, SEED)
    assert 0.84 < covered < 0.95
