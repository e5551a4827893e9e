"""A few quick cells of the second tables; the tables themselves take minutes."""

import numpy as np
import pytest
from scipy import stats

from tests.calibration.clustered_coverage import clustered_coverage, tied_lives
from tests.calibration.forecast_coverage import forecast_coverage, replacement_coverage
from tests.calibration.rate_coverage import (
    pool_coverage,
    rate_ratio_coverage,
    shown_rate_coverage,
)
from tests.calibration.repairable_coverage import (
    several_systems_coverage,
    staggered_curve_coverage,
)

SEED = 5


def test_tied_lives_are_unit_exponential_and_tied():
    lives = tied_lives(4000, 0.3, np.random.default_rng(SEED)).reshape(-1, 3)
    assert stats.kstest(lives[:, 0], "expon").pvalue > 0.01
    assert stats.kendalltau(lives[:, 0], lives[:, 1])[0] == pytest.approx(0.3, abs=0.03)


def test_clustered_limits_cover():
    shares, refused, _ = clustered_coverage(10, 0.3, 0.0, 150, SEED)
    assert refused == 0.0
    for covered, _, _ in shares.values():
        assert covered > 0.84


def test_exact_rate_ratio_covers():
    covered, below, above = rate_ratio_coverage(10, 3, 5000, SEED)
    assert covered > 0.90
    assert covered + below + above == pytest.approx(1.0)


def test_pool_limits_cover_or_warn():
    (covered, _, _), even, warned = pool_coverage(100, 2, 3, 60, SEED)
    assert covered > 0.85
    assert (even, warned) == (0.0, pytest.approx(0.0, abs=0.1))
    assert pool_coverage(10, 1, 3, 60, SEED)[2] > 0.9


def test_limits_shown_where_no_spread_is_seen_cover():
    (covered, _, _), even = shown_rate_coverage(10, 0.0, 2, 120, SEED)
    assert covered > 0.90
    assert 0.5 < even < 0.9
    # With a spread that such groups cannot show they cover less, and not by far.
    assert shown_rate_coverage(10, 0.3, 2, 120, SEED)[0][0] > 0.78


def test_limits_of_several_systems_cover():
    for ended in ("time", "failure"):
        shape, _, _ = several_systems_coverage(3, 5, ended, True, 300, SEED)
        assert 0.84 < shape[0] < 0.96


def test_curves_of_many_staggered_units_cover():
    (covered, _, _), refused, warned = staggered_curve_coverage(60, 3, 200, SEED)
    assert covered > 0.82
    assert (refused, warned) == (0.0, 0.0)


def test_forecasts_cover():
    (covered, _, _), refused = forecast_coverage(3, 0.9, True, 30, SEED)
    assert covered > 0.7
    assert refused < 0.2


def test_advised_ages_cover():
    age, saving, refused = replacement_coverage(10, 0.0, 25, SEED)
    assert min(age[0], saving[0]) > 0.65
    assert refused == 0.0
